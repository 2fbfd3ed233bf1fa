### boxes

boxes-no-code-yet = Die Kiste hatte noch keinen Code.
boxes-without-code = Das Team war ohne den Code da.
boxes-taken-for-them = Jemand von ihrer Schule nahm sie für das Team mit.
boxes-no-courier = Die Botenrunde kam nicht.
boxes-not-ready = Sie war nicht rechtzeitig fertig.
boxes-left-behind = Sie wurde nicht mitgenommen.
boxes-nobody-came = Niemand vom Team kam.
boxes-missed-no-courier = { $day } um { $time }, weil die Botenrunde nicht kam
boxes-missed-not-ready = { $day } um { $time }, weil sie nicht rechtzeitig fertig war
boxes-missed-left-behind = { $day } um { $time }, weil sie nicht mitgenommen wurde
boxes-missed-nobody-came = { $day } um { $time }, weil niemand vom Team kam
boxes-did-not-go-html = <b>Sie blieb stehen:</b> { $missed }.
boxes-told-html = <b>Jemand sagt:</b> { $doubt } Die Koordination entscheidet.
boxes-told-team = Jemand hat uns gesagt: { $doubt } Die Koordination entscheidet.
boxes-back = Zurück zum Arbeitszettel
boxes-handed-over = Übergeben
boxes-handed-over-what = Übergeben: { $title }
boxes-gone = Unterwegs
boxes-gone-what = Unterwegs: { $title }
boxes-take-back = Zurücknehmen
boxes-checked-good = Geprüft: alles gut
boxes-checked-bad = Nichts davon ist gut
boxes-measure = Messen, Stück für Stück
boxes-one-by-one = Stück für Stück
boxes-its-label = Ihr Etikett
boxes-rounds = Runden, die in den letzten 7 Tagen nicht kamen
boxes-missed = Sie blieb stehen
boxes-missed-what = Blieb stehen: { $title }
boxes-missed-why = Warum
boxes-plan-next = Ihren nächsten Weg planen
boxes-of-part = { $n ->
    [one] Die Kiste
   *[other] Die Kisten
}
boxes-one = Kiste { $plate }: { $copies }
boxes-say-code = Sag diesen Code der Person, die sie dir gibt. Nur dein Team kann ihn sehen.
boxes-code = Code der Kiste:
boxes-which = Kiste { $plate }
boxes-n = Kiste { $share }
boxes-label-lead = { $part }, { $copies }, für { $team } bei { $place }. { $lead }
boxes-label = Etikett
boxes-label-cut = Druck es aus, schneide es an den Strichen aus und kleb es auf die Kiste. Der Code der Kiste steht nicht darauf: Den hat nur das Team.
boxes-label-open = Noch nicht geschlossen
boxes-label-from = Von { $host }
boxes-label-to-html = nach <b>{ $place }</b>
boxes-label-for-html = für <b>{ $team }</b>
boxes-qr = QR-Code, der zur Seite von Kiste { $share } führt
boxes-packed = gepackt
boxes-left = fort
boxes-came = angekommen
boxes-given = übergeben
boxes-foot = Etikett von Kiste { $share }.
boxes-not-closed = Sie ist noch nicht geschlossen. Schließ sie auf dem Arbeitszettel, dann kleb das hier auf.
boxes-team-has-it = Das Team hat sie seit { $at }.
boxes-nothing-in-it = Es ist nichts mehr darin: Sie wird nicht übergeben.
boxes-hand-or-say = Übergib sie, oder sag, dass sie stehen blieb
boxes-open-sheet = Arbeitszettel öffnen
boxes-other-parts = Es sind andere Teile darin
boxes-lost = Sie ist verloren
boxes-down-here = Bei { $host }. Das Teil wurde heruntergenommen. Lass die Kiste, wo sie ist, und gib sie niemandem.
boxes-down = Das Teil wurde heruntergenommen. Lass die Kiste, wo sie ist, und gib sie niemandem.
boxes-recalled-here = Bei { $host }. Stücke darin wurden zurückgerufen. Behalte die Kiste, bis sie geprüft sind.
boxes-recalled = Stücke darin wurden zurückgerufen. Behalte die Kiste, bis sie geprüft sind.
boxes-promised = Zugesagt: { $by }.
boxes-kept = Die Zusage ({ $by }) wurde gehalten.
boxes-broken = Die Zusage ({ $by }) wurde gebrochen.
boxes-called-back = Die Zusage ({ $by }) wurde zurückgezogen.
boxes-superseded = Eine andere trat an die Stelle der Zusage ({ $by }).
boxes-counter-from = Bei { $host }: Sie wird dort an der Theke übergeben, frühestens { $at }.
boxes-counter = Bei { $host }: Sie wird dort an der Theke übergeben.
boxes-courier = Bei { $host }. Sie geht mit der Botenrunde los ({ $leaves }) und soll dann bei { $place } sein: { $arrives }.
boxes-meeting = Bei { $host }. Sie geht mit zum Treffen der Liga ({ $leaves }) und soll dann bei { $place } sein: { $arrives }.
boxes-no-way = Bei { $host }. Im Kalender steht kein Weg zu { $place }: Hol sie dort ab.
boxes-should-have-left = Bei { $host }, soweit jemand etwas gesagt hat. Sie sollte schon los sein ({ $leaves }). Wenn sie es ist, sag es; wenn sie noch da ist, kann sie los ({ $next }) und soll dann bei { $place } sein: { $arrives }.
boxes-left-arrives = Sie ist von { $host } losgegangen ({ $left }) und soll dann bei { $place } sein: { $arrives }.
boxes-left-host = Sie ist von { $host } losgegangen ({ $left }).
boxes-made-again = neu gemacht
boxes-made-again-says = Kiste { $plate }: { $why } Wir machen neu, was darin war.
boxes-not-made-again = nicht neu gemacht
boxes-not-made-again-says = Kiste { $plate }: { $why } Wir machen es nicht neu: Es hatte die falsche Einheit.
boxes-had-since = Ihr habt sie seit { $at }.
boxes-team-down = Das Teil wurde heruntergenommen. Seine Kiste wird nicht übergeben.
boxes-team-recalled = Stücke darin wurden zurückgerufen. Sie kommt, wenn jemand sie geprüft hat.
boxes-team-missed = Sie blieb stehen: { $missed }.
boxes-team-missed-late = Sie blieb stehen: { $missed }. Das ist später, als wir zugesagt haben. Es tut uns leid.
boxes-team-missed-in-time = Sie blieb stehen: { $missed }. Sie sollte trotzdem rechtzeitig kommen.
boxes-handed-at = Übergeben: { $at }.
boxes-counts-no-more = Was darin war, zählt nicht mehr.
boxes-row = Kiste { $share }, { $copies } × { $part }, für { $team }
boxes-waiting = Warten noch
boxes-waiting-none = Keine Kiste wartet.
boxes-on-way = Unterwegs
boxes-on-way-none = Keine Kiste ist unterwegs.
boxes-handed-lately = In den letzten 7 Tagen übergeben
boxes-handed-none = Keine.
boxes-title = { $n ->
    [0] Keine Kiste ist zu übergeben.
    [one] Eine Kiste ist zu übergeben.
   *[other] { $count } Kisten sind zu übergeben.
}
boxes-lead = Frag das Team nach dem Code seiner Kiste: Er steht auf der Seite des Teils. Ohne ihn sag, warum.
boxes-round = { $n ->
    [one] { $host }, { $day } um { $time }: Eine Kiste blieb stehen.
   *[other] { $host }, { $day } um { $time }: { $count } Kisten blieben stehen.
}
boxes-which-way = Dieses Formular sagte nicht, welchen Weg die Kiste verpasst hat.
boxes-reload = Lade die Seite neu und sag es noch einmal.
boxes-unsaid = Gib den Code der Kiste ein, oder wähle, warum es keinen gibt.
boxes-go-back = Geh zurück. Das Team findet den Code auf der Seite des Teils.
boxes-no-such = Für dich gibt es keine Kiste mit dieser Nummer.
