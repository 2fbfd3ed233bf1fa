### review

review-not-asked = Wurde nicht gefragt.
review-by-host = eine Druckschule
review-by-team = ein Teammitglied
review-by-mentor = die Teambegleitung
review-by-local = jemand am Server
review-by-server = der Server
review-by-coordinator = die Koordination
review-reason-words = { $reason } „{ $words }“
review-words = „{ $words }“
review-did-stated = { $who } hat es geschickt und angegeben
review-did-held-by-hand = { $who } hat es zur Durchsicht angehalten
review-did-held = { $who } hat es geschickt, und es wurde zur Durchsicht angehalten
review-did-passed = { $who } hat es durchgelassen
review-did-refused = { $who } hat es abgelehnt
review-did-appealed = { $who } hat um einen zweiten Blick gebeten
review-did-reported-mine = { $who } hat gesagt: das gehört mir
review-did-reported = { $who } hat gesagt, dass es nicht hier sein sollte
review-did-kept-up = { $who } hat eine Meldung angesehen und es gelassen
review-did-taken-down = { $who } hat es heruntergenommen
review-did-declined = { $who } macht eine Platte davon nicht
review-did-over-limit = { $who } hat um mehr gebeten, als die Grenze erlaubt
review-did-leg-missed = { $who } hat gesagt, dass die Kiste nicht losging
review-did-box-doubted = { $who } hat gesagt, dass mit einer Kiste etwas nicht stimmt
review-did-box-again = { $who } lässt noch einmal machen, was in einer Kiste war
review-did-box-right = { $who } hat gesagt, dass eine Kiste gefunden wurde oder stimmt
review-did-recalled = { $who } hat Stücke davon zurückgerufen
review-did-recall-good = { $who } hat zurückgerufene Stücke geprüft: sie sind gut
review-did-recall-bad = { $who } hat zurückgerufene Stücke geprüft: sie sind nicht gut
review-did-recall-lifted = { $who } hat einen Rückruf aufgehoben
review-did-wrong-unit = { $who } hat gesagt, dass es in der falschen Einheit herauskam
review-note = { $did }, { $day } um { $time }.
review-note-why = { $did }, { $day } um { $time }: { $why }
review-guess-all = Die Region sieht sich jede Anfrage dieses Teams an.
review-guess-person = Es wurde von Hand angehalten.
review-guess-word = In seinem Namen steht das Wort „{ $word }“.
review-guess-copies = Es sollen { $n } Stück werden.
review-guess-size = Es ist { $size } mm lang.
review-guess-before = Anfrage { $number } mit derselben Datei oder zum selben Teil wurde abgelehnt oder heruntergenommen.
review-box-why = Kiste { $share }. { $why }
review-appealed = Das Team bittet um einen zweiten Blick: { $why }
review-reported = Gemeldet. { $why }
review-taken-down = Heruntergenommen.
review-refused = Abgelehnt.
review-refused-for-good = Endgültig abgelehnt.
review-undecided = Niemand hat rechtzeitig entschieden: die Antwort war von selbst Nein.
review-nothing-waits = Nichts wartet auf deine Durchsicht.
review-waits = { $n ->
    [one] { $count } Teil wartet auf deine Durchsicht.
   *[other] { $count } Teile warten auf deine Durchsicht.
}
review-lead = Ein Programm rät nur, du entscheidest. Vorher wird für ein Teil nichts zugesagt, und das Team wartet. Antworte also innerhalb eines Tages.
review-held-title = Angehalten
review-held-none = Kein Teil ist angehalten.
review-reported-title = Gemeldet
review-reported-none = Niemand hat ein Teil gemeldet.
review-boxes-title = Kisten
review-boxes-none = Niemand sagt, dass eine Kiste verloren ist oder nicht stimmt.
review-decided-title = Kürzlich entschieden
review-decided-none = Nichts wurde abgelehnt oder heruntergenommen.

review-see-whole-part = Das ganze Teil ansehen
review-cannot-draw = Wir können dieses Teil gerade nicht zeichnen.
review-about-it = Dazu
review-why-here = Warum es hier ist
review-only-guesses = Das hat ein Programm geraten. Du entscheidest.
review-somebody-reported = Jemand hat es gemeldet
review-may-stay = Es darf bleiben
review-box = Kiste { $plate }
review-make-again-html = Noch einmal machen<span class="hush">: Kiste { $plate }</span>
review-box-is-right-html = Sie wurde gefunden oder stimmt<span class="hush">: Kiste { $plate }</span>
review-said-and-decided = Was gesagt und entschieden wurde
review-your-decision = Deine Entscheidung
review-final = Das Team hat um einen zweiten Blick gebeten. Diese Entscheidung ist endgültig, und das erfährt das Team auch.
review-passing = Sobald du es durchlässt, sagen wir den frühesten Tag zu, der sich halten lässt.
review-let-through = Durchlassen
review-or-refuse = Oder lehne es ab. Warum?
review-your-words-html = Mit deinen Worten, für das Team <span class="quiet">(du kannst das leer lassen)</span>
review-words-hint = Höchstens { $most } Zeichen. Keine Namen von Personen.
review-refuse = Ablehnen
review-hold = Anhalten
review-holding = Dafür ist noch nichts zugesagt. Angehalten wartet es, bis du es angesehen hast.
review-hold-it = Zur Durchsicht anhalten
review-take-down = Herunternehmen
review-taking-down = Dann sieht und lädt niemand außer dir seine Dateien, Platten, die noch nicht gestartet sind, fallen aus dem Plan, und seine Zusage endet.
review-take-part-down = Dieses Teil herunternehmen
review-why = Warum?

review-is-down = Es wurde heruntergenommen: nur du siehst seine Dateien.
review-is-held = Nichts wird zugesagt, bevor du entschieden hast.
review-is-refused = Es wurde abgelehnt.
review-is-undecided = Niemand hat rechtzeitig entschieden, darum war die Antwort von selbst Nein.
review-is-ready = Es kann gedruckt werden, und noch ist nichts zugesagt.
review-is-promised = Es ist zugesagt.
review-is-over = Es gibt nichts zu entscheiden.
review-fact-team = Das Team
review-fact-copies = Stück
review-fact-plastic = Kunststoff
review-fact-size = Größe
review-fact-file = Datei
review-fact-sender = Beim Schicken angegeben
review-said-mine = „Das gehört mir.“ { $why }
review-said-not-here = „Das sollte nicht hier sein.“ { $why }
review-runs = { $n ->
    [one] Platte { $plates } läuft schon: ruf ihre Druckschule an, wenn sie anhalten soll.
   *[other] Die Platten { $plates } laufen schon: ruf ihre Druckschulen an, wenn sie anhalten sollen.
}
review-box-stays = Kiste { $share } ist hier: { $host }. Heruntergenommen bleibt sie dort.
review-box-has-left = Kiste { $share } ist schon fort von hier: { $host }. Heruntergenommen wird sie niemandem übergeben. Ruf dort an: { $place }.
review-same-file-own = Die Teile des Teams mit derselben Datei gehen mit: { $numbers }.
review-same-file-others = Andere Teams haben dieselbe Datei geschickt. Diese Teile bleiben, sieh sie dir also auch an: { $numbers }.
review-decide-there = Öffne die Seite der Durchsicht und entscheide dort.
review-moved = Inzwischen hat jemand etwas dazu gesagt oder entschieden.
review-moved-do = Nichts wurde geändert. Öffne die Seite der Durchsicht noch einmal und sieh nach.
review-no-day = Du hast es durchgelassen, aber es kann kein Tag zugesagt werden.
review-no-day-why = { $error }. { $todo } Das Team sieht es, und auch, was sonst möglich ist.
review-choose-why = Wähle, warum.
review-too-long = Höchstens { $most } Zeichen sind möglich, das sind { $n }.

review-reason-weapon = Es sieht aus wie eine Waffe.
review-reason-hurts = Es könnte jemanden verletzen.
review-reason-school = Es passt nicht in eine Schule.
review-reason-unclear = Wir erkennen nicht, was es ist.
review-reason-robotics = Es ist nicht für Robotik.
review-reason-not-theirs = Das Team darf es nicht nachmachen.
review-reason-undecided = Niemand hat rechtzeitig darüber entschieden.
review-todo-weapon = Ändere es so, dass es aussieht wie das Werkzeug oder das Teil, das es ist.
review-todo-hurts = Runde Spitzen und Kanten ab oder decke sie ab, und schick die geänderte Datei.
review-todo-school = Sprich mit deiner Teambegleitung darüber, wofür du es brauchst.
review-todo-unclear = Gib ihm einen Namen, der sagt, was es ist, oder erkläre es uns und bitte um einen zweiten Blick.
review-todo-robotics = Sag uns, was es an deinem Roboter tut, oder lass es woanders machen.
review-todo-not-theirs = Zeichne ein eigenes, such eines mit einer Lizenz, die es erlaubt, oder frag, wer es gemacht hat.
review-todo-undecided = Sag es deiner Teambegleitung. Du kannst es jederzeit noch einmal schicken.
review-decline-hands = Niemand hat hier Zeit dafür.
review-decline-machine = Unser Drucker oder Kunststoff schafft es nicht.
review-decline-unwilling = Wir wollen dieses Teil nicht machen.
review-decline-other = Ein anderer Grund.
review-claim-own = Wir haben es selbst gezeichnet.
review-claim-licence = Es hat eine Lizenz, mit der wir es drucken dürfen.
review-claim-permission = Wer es gemacht hat, hat es uns erlaubt.
review-recalls = Rückrufe, die noch geprüft werden
review-recalls-wait = { $n ->
    [one] Ein Rückruf ist noch zu prüfen.
   *[other] { $count } Rückrufe sind noch zu prüfen.
}
