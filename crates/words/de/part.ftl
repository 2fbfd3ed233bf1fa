### part

part-lead-html = <b>{ $name }</b>, { $detail }. { $lead }
part-lead-version-html = <b>{ $name }</b>, Fassung { $n }, { $detail }. { $lead }
part-copies-in = { $n } Stück aus { $material }
part-recall = Wir rufen dieses Teil zurück
part-recall-good = Geprüft: es ist gut
part-recall-bad = Es ist nicht gut
part-recall-bad-sure = Ja, es ist nicht gut: druckt es noch einmal
part-recalled-copies = { $n ->
    [one] Ein Stück, das du hast: benutze es nicht, bis es jemand geprüft hat.
   *[other] { $count } Stück, die du hast: benutze sie nicht, bis sie jemand geprüft hat.
}
part-recalled-measure = Miss nach, was passen muss, suche Lücken zwischen den Schichten und biege es ein wenig. Wenn du im Zweifel bist, sage, dass es nicht gut ist.
part-recalled-look = Wenn du es so nicht benutzen kannst, sage, dass es nicht gut ist. Aus der älteren Datei wird es nicht noch einmal gemacht.
part-see-right-one = Das richtige ansehen
part-could-promise = Wir könnten zusagen
part-take-promise = Diese Zusage nehmen
part-offer = { $by }, { $place }: { $n } von 10.
part-ask-second-look = Um einen zweiten Blick bitten
part-have-it = Wir haben es
part-send-changed = Geänderte Datei schicken
part-see-quicker = Schnellere Wege ansehen
part-see-other = Andere Wege ansehen
part-get-spare = Ein Ersatzstück beim Treffen holen
part-withdraw = Teil zurückziehen
part-ask-again = Noch einmal darum bitten
part-ask-again-sure = Ja, noch eins
part-again-coming = Das erste ist noch unterwegs: es kommt { $by }. Willst du daneben noch eins?
part-again-ended = Damit bittest du noch einmal um dasselbe: gleiche Datei, gleicher Kunststoff, gleich viele Stücke.
part-review-it = Durchsehen oder herunternehmen
part-drawing-numbered = { $alt }, mit nummerierten Stellen
part-finding-label = Befund { $n }: { $label }
part-more-in-file = { $n ->
    [one] Und { $n } weiteres Teil in derselben Datei.
   *[other] Und { $n } weitere Teile in derselben Datei.
}
part-cant-draw = Wir können dieses Teil gerade nicht zeichnen.
part-what-we-found = Was wir gefunden haben
part-nothing-to-change = Nichts zu ändern. Die Hülle ist geschlossen, und es passt auf unsere Drucker.
part-wrong-size = Ist es in der falschen Größe herausgekommen?
part-wrong-size-lead = Die Datei nennt keine Einheit. Wenn das Teil 25,4-mal oder 10-mal zu groß oder zu klein ist, haben wir die falsche genommen.
part-say-size = Sagen, welche Größe stimmt
part-should-measure = So groß soll es sein
part-resize-then = Wir beurteilen dieselbe Datei noch einmal in dieser Einheit und geben ihr eine eigene Zusage. Was für das erste Teil zugesagt war, bleibt vermerkt.
part-resize-team-pays = Die Stunden und der Kunststoff des ersten Teils bleiben im Anteil deines Teams.
part-resize-region-pays = Die Stunden und den Kunststoff des ersten Teils trägt die Region, nicht dein Team.
part-make-in-size = In dieser Größe machen
part-resize = { $unit }: { $x } × { $y } × { $z } mm
part-millimetres = Millimeter
part-centimetres = Zentimeter
part-inches = Zoll
part-resized-team-pays = Es ist in der falschen Einheit herausgekommen: { $was }, richtig wäre { $unit }. Seine Stunden und sein Kunststoff stehen im Anteil des Teams.
part-resized-region-pays = Es ist in der falschen Einheit herausgekommen: { $was }, richtig wäre { $unit }. Seine Stunden und seinen Kunststoff trägt die Region.
part-otherwise = Ginge es auch anders?
part-otherwise-table = Tabelle der anderen Wege
part-otherwise-what = Was anders wäre
part-otherwise-when = In der Hand bis
part-otherwise-sure = Wie wahrscheinlich
part-otherwise-then = So stand es, als die Zusage gegeben wurde.
part-otherwise-now = So steht es jetzt.
part-otherwise-instead = So wie es geschickt wurde, kann nichts zugesagt werden; das hier ginge jetzt.
part-choose-now = Ansehen, was du jetzt wählen könntest
part-in-the-way = Was einem früheren Tag im Weg steht
part-how-it-comes = Wie es zu dir kommt
part-plates-table = Tabelle der Platten
part-plates-plate = Platte
part-plates-copies = Stück
part-plates-printer = Drucker
part-plates-from = Von
part-plates-until = Bis
part-plates-now = Jetzt
part-plate-runs = läuft
part-plate-planned = geplant
part-plate-off = vom Druckbett genommen
part-plate-failed = misslungen
part-plate-withdrawn = wird nicht mehr gedruckt
part-leg-counter = Du bekommst es direkt bei { $from }.
part-leg-courier = Die Kiste verlässt { $from } mit der Botenrunde am { $leaves } und ist am { $arrives } da.
part-leg-meeting = Die Kiste verlässt { $from } am { $leaves }; du bekommst sie am { $arrives } hier: { $to }.
part-history = Jedes Mal, als du es geschickt hast
part-version-this = Fassung { $n }, diese hier
part-version = Fassung { $n }
part-sent = geschickt { $sent }, { $what }
part-sent-fixed = geschickt { $sent }, { $what }; { $fixed }
part-was-pledged = zugesagt
part-was-kept = gehalten
part-was-broken = gebrochen
part-was-replaced = ersetzt
part-was-called-back = zurückgezogen
part-is-received = angekommen
part-is-held = angehalten zur Durchsicht
part-is-refused = abgelehnt
part-is-to-change = muss geändert werden
part-is-ready = bereit
part-is-on-a-plate = auf einer Platte
part-is-running = wird gedruckt
part-is-reworked = in Nacharbeit
part-is-inspected = geprüft
part-is-boxed = in der Kiste
part-is-handed-over = übergeben
part-is-withdrawn = zurückgezogen
part-is-recalled = zurückgerufen
part-is-lost = verloren
part-whose = Wem es gehört
part-sender-says = Wer es geschickt hat, sagt: { $stated }
part-told = Was gesagt und entschieden wurde
part-report = Dieses Teil melden
part-about-plastic = Über diesen Kunststoff
part-you-called-back = Du hast dieses Teil zurückgezogen.
part-newer-sent = An die Stelle von diesem Teil ist { $number } getreten.
part-not-by-need = Nicht { $need }, wie du gebeten hast: es kommt { $by }.
part-held = Wir sehen uns dieses Teil an, bevor wir etwas zusagen.
part-held-appealed = Du hast um einen zweiten Blick gebeten. Die Koordination entscheidet; dabei bleibt es dann.
part-held-answer = { $n ->
    [one] Die Koordination der Region sieht sich manche Teile an, bevor etwas zugesagt wird. Das ist kein schlechtes Zeichen. Die Antwort steht dann hier, meist innerhalb eines Tages, und mit ihr die Zusage. Entscheidet einen Tag lang niemand, ist die Antwort von selbst Nein; über dein Teil sagt das nichts.
   *[other] Die Koordination der Region sieht sich manche Teile an, bevor etwas zugesagt wird. Das ist kein schlechtes Zeichen. Die Antwort steht dann hier, an Schultagen meist innerhalb eines Tages, und mit ihr die Zusage. Entscheidet { $n } Tage lang niemand, ist die Antwort von selbst Nein; über dein Teil sagt das nichts.
}
part-refused = Nein, so drucken wir dieses Teil nicht.
part-refused-for-good = Nein, wir drucken dieses Teil nicht.
part-refused-lead = Die Koordination hat entschieden: { $why } { $todo } Du darfst einmal um einen zweiten Blick bitten.
part-refused-twice-lead = Die Koordination hat zweimal hingesehen: { $why } { $todo } Dabei bleibt es.
part-first-answer-stands = Niemand hat ein zweites Mal hingesehen, also gilt die erste Antwort: { $why } Sprich mit deiner Teambegleitung.
part-undecided = Keine Zusage: über dieses Teil hat niemand rechtzeitig entschieden.
part-undecided-lead = Das tut uns leid: du kannst nichts dafür. { $todo }
part-undecided-appeal = Das tut uns leid: du kannst nichts dafür. { $todo } Oder bitte einmal um einen zweiten Blick.
part-taken-down = Dieses Teil wurde heruntergenommen.
part-taken-down-lead = Die Koordination hat entschieden: { $why } Seine Dateien bekommt jetzt sonst niemand zu sehen, und es wird nichts mehr davon gemacht. Frage die Koordination, wenn du das falsch findest.
part-needs-change = Noch nicht. An diesem Teil muss etwas geändert werden.
part-cant-be-printed = Etwas daran kann nicht gedruckt werden.
part-no-day-yet = Ja, wir können dieses Teil drucken. Noch ist kein Tag zugesagt.
part-offer-stands = Noch ist nichts zugesagt: das Angebot unten gilt, bis du es nimmst oder jemand anders den Platz im Plan bekommt.
part-kept = Die Zusage wurde gehalten.
part-kept-lead = Es kam { $day } um { $time }.
part-broken = Wir haben diese Zusage gebrochen.
part-not-printed-lead = Wir hatten { $day } bis { $time } zugesagt und es nicht gedruckt. Das tut uns leid.
part-spare-not-printed-lead = Wir hatten { $day } bis { $time } zugesagt und es nicht gedruckt: { $bench } schloss, bevor es gemacht war. Das tut uns leid.
part-late-lead = Wir hatten { $day } bis { $time } zugesagt, und es kam { $late } zu spät. Das tut uns leid.
part-replaced = Eine andere Anfrage ist an die Stelle von dieser getreten.
part-may-be-broken = Vielleicht haben wir diese Zusage gebrochen.
part-past-boxed = Seine Zeit ist um, und niemand hat uns gesagt, dass du es hast. Wenn du es hast, sage es unten.
part-at-risk = Diese Zusage ist in Gefahr.
part-at-risk-because = So wie es steht, kommt es { $by }. Der Grund: { $because }. Die Koordination sieht es auch und sucht einen Weg.
part-at-risk-comes = So wie es steht, kommt es { $by }. Die Koordination sieht es auch und sucht einen Weg.
part-will-be-late = Dieses Teil kommt zu spät.
part-late-because = So wie es steht, kommt es { $by }; zugesagt hatten wir es { $promised }. Der Grund: { $because }. Das tut uns leid. Die Koordination sieht es auch und sucht einen Weg.
part-late-comes = So wie es steht, kommt es { $by }; zugesagt hatten wir es { $promised }. Das tut uns leid. Die Koordination sieht es auch und sucht einen Weg.
part-at-risk-unknown-because = So wie es steht, können wir nicht sagen, wann es kommt. Der Grund: { $because }. Die Koordination sieht es auch und sucht einen Weg.
part-at-risk-unknown = So wie es steht, können wir nicht sagen, wann es kommt. Die Koordination sieht es auch und sucht einen Weg.
part-can-be-printed = Ja, wir können dieses Teil drucken.
part-being-printed = Dein Teil wird gerade gedruckt.
part-checked = Dein Teil ist gedruckt und geprüft.
part-in-its-box = Dein Teil ist in seiner Kiste.
part-you-have-it = Du hast dein Teil.
part-found-nothing = Wir haben nichts gefunden, was zu ändern wäre.
part-found-notes = { $n ->
    [one] Wir haben einen Hinweis für dich; ändern muss sich nichts.
   *[other] Wir haben { $count } Hinweise für dich; ändern muss sich nichts.
}
part-found-one-worth = Eine Sache sollte geändert werden; die Zusage gilt so oder so.
part-found-all-worth = { $count } Befunde sollten geändert werden; die Zusage gilt so oder so.
part-found-some-worth = { $n ->
    [one] Von { $all } Befunden sollte einer geändert werden; die Zusage gilt so oder so.
   *[other] Von { $all } Befunden sollten { $count } geändert werden; die Zusage gilt so oder so.
}
part-other-plastic = Ein anderer Kunststoff biegt sich, bricht und fühlt sich anders an. Frage deine Teambegleitung, ob er für dieses Teil taugt.
part-as-it-is = { $part }, { $what }. So wie es ist, hast du es { $by }, { $n } von 10.
part-as-things-stand = { $part }, { $what }. So wie es steht, kommt es { $by }, später als zugesagt.
part-as-it-is-none = { $part }, { $what }. So wie es geschickt wurde, kann kein Tag zugesagt werden.
part-quicker-ways = { $n ->
    [0] Gerade gibt es keinen schnelleren Weg
    [one] Es gibt einen schnelleren Weg
   *[other] Es gibt { $n } schnellere Wege
}
part-other-ways = { $n ->
    [0] Gerade gibt es keinen anderen Weg
    [one] Es gibt einen anderen Weg
   *[other] Es gibt { $n } andere Wege
}
part-choosing-ends = Wählst du einen, endet die Zusage, die du jetzt hast, sobald die neue gegeben ist.
part-choosing-gives = Wählst du einen, bekommst du seine Zusage.
part-if-gone = War jemand anders schneller und geht es nicht mehr, bleibt alles, wie es ist.
part-none-now = Das kann sich ändern, wenn ein anderes Team ein Teil zurückzieht oder ein Drucker wieder frei wird.
part-hold-by-html = In der Hand bis <b class="num">{ $when }</b>, { $n } von 10.
part-take-in = In { $material } nehmen
part-take-first = Erst { $n } Stück nehmen
part-fewer-first-mind = Die übrigen Stücke werden ein eigenes Teil auf deiner Liste. Ihr Tag wird nach dem der ersten zugesagt und kann anders sein, als hier steht.
part-fetch = Wir holen es ab
part-fetch-mind = Jemand aus deinem Team muss mit dem Code der Kiste hingehen, solange die Schule offen ist.
part-leave-it = So lassen, wie es ist
part-open-as-team = Öffne die Seite des Teils als sein Team.
part-unknown-way = Diesen Weg kennen wir nicht.
part-choose-a-way = Geh zurück und wähle einen der Wege.
part-takes = Was es braucht
part-takes-lead = Ein Stück, allein gedruckt ({ $class }). Neun von zehn sind in { $time } fertig.
part-takes-time = Zeit
part-takes-plastic = Kunststoff
part-takes-electricity = Strom
part-takes-cost = Kosten
part-grams = { $g } g
part-watt-hours = { $range } Wh
part-takes-cost-of = Davon Filament { $filament }, Strom { $energy }, Abnutzung des Druckers { $wear }, Arbeit { $labour }. Mit misslungenen Drucken kostet ein gutes Stück { $good }. Die Preise sind Beispiele, bis deine Region eigene einträgt. Hier wird nichts bezahlt.
part-takes-cost-own = Davon Filament { $filament }, Strom { $energy }, Abnutzung des Druckers { $wear }, Arbeit { $labour }. Mit misslungenen Drucken kostet ein gutes Stück { $good }. Die Preise sind die deiner Region. Hier wird nichts bezahlt.
part-range = { $low } bis { $high }
part-force = { $force } N
part-money = { $amount } { $currency }
part-weakest = Wo es am schwächsten ist
part-weakest-how = Ausgerechnet aus den gezeichneten Schichten und aus Spannen für den Kunststoff, nicht aus einem Versuch. Kerben, Feuchte und Alter sind nicht dabei.
part-strength-caution = Wir wissen nicht, wie fest dieses Teil ist. Am leichtesten lösen sich Schichten voneinander. Probiere es hinter einem Schutz aus, bevor du es benutzt.
part-weak-caption = Was Schicht { $layer } mit der nächsten verbindet, { $up } mm hoch: { $area } mm². Gestrichelt: lockeres Inneres, wo sich wenig berührt.
part-weak-nowhere = Schicht { $layer } und die darüber berühren sich nirgends, bei { $up } mm: dort zerfällt das Teil in zwei Stücke.
part-weak-pull = Gerade nach oben gezogen, reißt es zuerst über Schicht { $layer }, { $up } mm hoch. Ein Zug von { $force } könnte reichen.
part-weak-squat = Es ist für seine Breite niedrig, darum rechnen wir keinen Druck von der Seite aus.
part-weak-push = Oben zur Seite gedrückt, bricht es zuerst über Schicht { $layer }, { $up } mm hoch. Ein Druck von { $force } könnte reichen.
part-spool-any-with = Spule: { $material }. Die Platte braucht { $plate } g; { $more } g mehr müssen auf der Spule sein, um die Düse zu füllen und als Rest, der darauf bleibt. Trocken, und sie läuft frei.
part-spool-any = Spule: { $material }. Trocken, und sie läuft frei.
part-spool-none-here = Spule: { $material }. Die Platte braucht { $plate } g; { $more } g mehr müssen auf der Spule sein, um die Düse zu füllen und als Rest, der darauf bleibt. Nach unserer Zählung ist hier keine mehr. Ist doch eine da, sage es auf der Seite Spulen; wenn nicht, frage die Koordination.
part-spool-too-little = Spule: nach unserer Zählung hat hier keine die { $need } g { $material }, die es braucht: { $plate } g für die Platte, { $more } g, um die Düse zu füllen und als Rest, der auf der Spule bleibt. Am vollsten ist S-{ $number } mit { $left } g. Wiege sie zuerst, oder frage die Koordination.
part-spool-this = Spule: S-{ $number }, { $what }, { $place }. { $left } g sind übrig. Die Platte braucht { $plate } g; { $more } g mehr müssen auf der Spule sein, um die Düse zu füllen und als Rest, der darauf bleibt.
part-spool-brief = Spule: S-{ $number }, { $what }, { $place }: noch { $left } g, { $need } g braucht es.
part-spool-on-printer = schon auf { $printer }
part-spool-in-bag = noch im Beutel
part-spool-on-shelf = im Regal
part-spool-damp = Sie war zu lange offen: trockne sie zuerst{ $how }.
part-spool-dry = Sie ist trocken. Achte darauf, dass sie frei läuft.
part-spool-take-off = Nimm S-{ $number } herunter.
part-drying-from-to = , { $short } bis { $long } Stunden bei { $low } bis { $high } °C
part-drying = , { $short } Stunden bei { $low } bis { $high } °C
part-spool-is-too-little = zu wenig
part-spool-is-damp = feucht
part-spool-other = eine andere, nicht vermerkt
part-plate-took = { $state }, hat { $time } gebraucht
part-plate-took-at-most = { $state }, hat höchstens { $time } gebraucht
part-plate-took-expected = { $state }, zählt als { $time }: die vermerkte Zeit kann nicht stimmen
part-took = Was es wirklich gebraucht hat
part-took-says = { $n ->
    [one] Dieses Stück hat { $time } Druckzeit und { $g } g Kunststoff gebraucht: { $money }.
   *[other] Diese { $n } Stück haben { $time } Druckzeit und { $g } g Kunststoff gebraucht: { $money }.
}
part-took-says-about = { $n ->
    [one] Dieses Stück hat etwa { $time } Druckzeit und { $g } g Kunststoff gebraucht: { $money }.
   *[other] Diese { $n } Stück haben etwa { $time } Druckzeit und { $g } g Kunststoff gebraucht: { $money }.
}
part-took-about-money = etwa { $money }
part-took-no-price = ein Preis ist nicht bekannt
part-took-prints = { $n } Drucke sind mitgezählt.
part-took-prints-failed = { $failed ->
    [one] Ein misslungener Druck ist mitgezählt, von { $n }.
   *[other] { $failed } misslungene Drucke sind mitgezählt, von { $n }.
}
part-took-shared = Von einer Platte, auf der auch anderes lag, ist es der Anteil dieses Teils nach Kunststoff.
part-took-unseen = Niemand sah einen Druck enden: er zählt höchstens so lang, wie von ihm erwartet wurde.
part-took-misnoted = Von einem Druck wurde der Anfang oder das Ende zu einer anderen Zeit vermerkt, oder niemand sah das Ende: er zählt so lang, wie von ihm erwartet wurde.
part-took-examples = Kosten sind Filament, Strom, Abnutzung und Arbeit. Die Preise sind Beispiele, bis deine Region eigene einträgt. Hier wird nichts bezahlt.
part-took-own-prices = Kosten sind Filament, Strom, Abnutzung und Arbeit. Die Preise sind die deiner Region. Hier wird nichts bezahlt.
part-spool-held = Spule: Auf S-{ $number } ist genug, aber Platte { $plate } auf { $printer } hat sie dann noch. Nur eine von beiden kann sie haben. Kauf oder bring noch eine Spule { $material }, oder starte Platte { $own }, wenn S-{ $number } frei ist.
part-spool-held-promised = Spule: Auf der, die zugesagt ist, ist genug, aber Platte { $plate } auf { $printer } hat sie dann noch. Nur eine von beiden kann sie haben. Kauf oder bring noch eine Spule { $material }, oder starte Platte { $own }, wenn jene frei ist.
part-weak-untested = Niemand hat es ausprobiert, und was niemand ausprobiert hat, kann brechen.
part-weak-bends = Beim Benutzen werden die meisten Teile gebogen. An einem Loch oder einer Kerbe gebogen, bricht ein Teil viel früher, als diese Zahlen sagen.
part-weak-way-lowest = Schichten halten dort am wenigsten, wo etwas sie auseinanderzieht: nach oben und unten, so wie es steht. Auf keine andere Art liegt es viel niedriger, darum hilft Drehen wenig.
part-weak-way-lower = Schichten halten dort am wenigsten, wo etwas sie auseinanderzieht: nach oben und unten, so wie es steht, { $height } mm hoch. Anders macht das weniger aus ({ $way }): { $low } mm hoch, mit der langen Seite längs der Schichten.
