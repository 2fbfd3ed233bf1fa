### bench: Arbeitszettel, Störungen, fragliche Kisten, und was die Werkbank antwortet

bench-title = Arbeitszettel, { $host }, { $day }
bench-number = Arbeitszettel { $number }.
bench-made = Gemacht: { $at }. Ein neuerer ersetzt ihn.
bench-days = Tage
bench-boxes = Kisten
bench-crew = Crew
bench-day-before = Tag davor
bench-today = Heute
bench-day-after = Tag danach
bench-staffed = Jemand ist von { $from } bis { $until } an der Werkbank.
bench-not-staffed = An diesem Tag ist niemand an der Werkbank.
bench-closed = Geschlossen { $day }: { $reason }.
bench-printers-say = Was die Drucker sagen
bench-you-say = Was gut ist und was misslungen, sagst du. Ein Drucker, der stillsteht, kann von selbst anlaufen.
bench-nothing-to-do = An diesem Tag ist hier nichts zu tun.
bench-look-after = Sieh die erste Schicht nach 15 Minuten an.
bench-held-recalled-html = { $n ->
    [one] <b>Angehalten:</b> { $n } Stück ist noch einmal zu prüfen: Es wurde zurückgerufen.
   *[other] <b>Angehalten:</b> { $n } Stück sind noch einmal zu prüfen: Sie wurden zurückgerufen.
}
bench-held-html = { $n ->
    [one] <b>Angehalten:</b> { $n } Stück ist nachzuarbeiten oder zu messen.
   *[other] <b>Angehalten:</b> { $n } Stück sind nachzuarbeiten oder zu messen.
}
bench-say-how-it-went = Sag, wie es ausging
bench-what-it-should-look-like = Wie sie aussehen soll
bench-take-it-back = Zurücknehmen
bench-measure-one-by-one = Messen, Stück für Stück
bench-good-of-what = { $what }: gut
bench-good = Gut
bench-of = von { $n }
bench-spool = Spule
bench-one-by-one = Stück für Stück
bench-not-good = Nicht gut
bench-inspect-plate = Platte { $plate } prüfen
bench-trouble-with-html = Problem<span class="hush"> mit: { $title }</span>
bench-pass-it-on = Weitergeben
bench-pen-looked = angesehen
bench-pen-boxed = verpackt
bench-pen-time = Uhrzeit
bench-pen-initials = Kürzel
bench-plastic = Kunststoff, der noch geladen wird
bench-grams-unknown = nicht bekannt
bench-first-layer = Die erste Schicht: worauf du achtest
bench-mind = Vorsicht
bench-night = { $from } bis { $until }, niemand hier
bench-calendar-end = zum Ende des Kalenders
bench-night-empty = { $printers }: leer, kalt, ausgeschaltet.
bench-night-out = { $n ->
    [one] { $printers } ist außer Betrieb: Sieh nach, ob er aus und kalt ist.
   *[other] { $printers } sind außer Betrieb: Sieh nach, ob sie aus und kalt sind.
}
bench-night-runs = { $printer }: druckt Platte { $plate } bis etwa { $time }, Tür zu, nichts darauf.
bench-night-long = { $printer }: Platte { $plate } ist über ihrer Zeit, und niemand hat gesagt, dass sie vom Bett ist. Sieh nach ihr, bevor du gehst: Tür zu, nichts darauf.
bench-night-stop = { $printer }: Platte { $plate } anhalten, bevor du gehst, falls sie noch läuft, und sagen, wie es lief. Niemand hat erlaubt, dass er allein läuft.
bench-code = Code
bench-no-code = Kein Code?
bench-choose-why = Wähle, warum

bench-sheets = Arbeitszettel
bench-sheets-today = Arbeitszettel von heute
bench-sheets-lead-html = Einer für jede Druckschule. <a href="/boxes">Alle Kisten, die zu übergeben sind</a>
bench-host = { $bench }; besetzt { $hours }
bench-host-students = { $bench }; besetzt { $hours }; von Teammitgliedern betrieben

bench-layer-good-alt = Von oben: Linien dicht nebeneinander, ohne Lücken. Im Schnitt: Sie sind flach und berühren sich.
bench-layer-good-html = <b>Gut.</b> Flache Linien, die sich berühren, alle Ecken unten. Hake „Sieht gut aus“ ab.
bench-layer-gaps-alt = Von oben: Lücken zwischen den Linien. Im Schnitt: Sie sind rund und stehen auseinander.
bench-layer-gaps-html = <b>Lücken.</b> Du siehst das Druckbett zwischen den Linien: Die Düse ist zu weit weg. Halte an, bring sie ein wenig näher, fang neu an.
bench-layer-ridges-alt = Von oben: wellige Grate und Kratzer. Im Schnitt: eine dünne Schicht mit scharfen Graten.
bench-layer-ridges-html = <b>Grate oder Kratzer.</b> Die Düse pflügt durch den Kunststoff: Sie ist zu nah. Halte an, bring sie ein wenig weg, fang neu an.
bench-layer-lifts-alt = Von oben: Eine Ecke rollt sich hoch. Von der Seite: Das Ende steht vom Druckbett ab.
bench-layer-lifts-html = <b>Eine Ecke hebt sich.</b> Es wird sich lösen. Halte an, lass das Druckbett abkühlen, wisch es ab, prüfe seine Hitze, halte Zugluft fern, fang neu an.

bench-trouble = Problem mit { $printer }
bench-trouble-plate = Problem mit { $printer }, Platte { $plate }
bench-trouble-running = Platte { $plate }: { $label }. Halte zuerst den Drucker an und lass ihn abkühlen. Niemand hat Schuld; die Platte wird neu geplant, sobald du gesagt hast, was geschehen ist.
bench-trouble-waiting = Platte { $plate }: { $label }. Sie ist noch nicht gestartet. Wenn { $printer } nicht benutzt werden kann, kommt das, was darauf geplant ist, woandershin.
bench-what-happened = Was ist geschehen?
bench-still-good = Stück, die trotzdem gut sind, von { $of }
bench-still-good-of-what = { $what }: Stück, die trotzdem gut sind, von { $of }
bench-counted-is-held = Seine Maße müssen stimmen: Was du hier zählst, bleibt angehalten, bis du es gemessen hast.
bench-can-print-again = Kann { $printer } jetzt wieder drucken?
bench-yes-once-clean = Ja, sobald alles sauber ist
bench-no-out-until = Nein, außer Betrieb bis
bench-out-until = Bis wann kann { $printer } nicht benutzt werden?
bench-reason-missing = Wähle, was geschehen ist.
bench-out-missing = Sag, ob der Drucker jetzt wieder drucken kann.
bench-day = Tag
bench-time = Uhrzeit
bench-print-again = Noch einmal drucken
bench-plan-again = Neu planen
bench-it-is-fine = Zurück, alles in Ordnung
bench-back-to-sheet = Zurück zum Arbeitszettel
bench-until-missing = Gib Tag und Uhrzeit an, ab denen der Drucker wieder benutzt werden kann.
bench-until-over = Diese Zeit ist vorbei. Gib eine an, die noch kommt.
bench-until-far = Das ist erst in mehr als einem Jahr. Sieh nach dem Jahr.
bench-uses = Drucker hier
bench-use-until = { $day }, { $time }
bench-use-free = kann benutzt werden.
bench-use-runs = Platte { $plate } läuft darauf.
bench-use-drifted = { $stands } Was er gemacht hatte, wurde zurückgerufen ({ $at }): Mach ein kleines Probeteil und miss es nach, bevor du Teile darauf druckst.
bench-use-out = außer Betrieb bis { $until }: { $reason }.
bench-use-out-runs = außer Betrieb bis { $until }: { $reason }. Platte { $plate } läuft noch darauf.
bench-use-out-on = { $printer } ist außer Betrieb bis { $until }: { $reason }.
bench-use-out-at = { $printer }, { $host }: außer Betrieb bis { $until }: { $reason }.
bench-use-out-of-html = Außer Betrieb<span class="hush">: { $printer }</span>
bench-use-works-html = Geht wieder<span class="hush">: { $printer }</span>
bench-use-title = { $printer } außer Betrieb nehmen
bench-use-lead = Sag, warum und bis wann { $printer } nicht benutzt werden kann. Was darauf geplant ist, kommt woandershin. Sobald er wieder geht, sag es auf dem Arbeitszettel.
bench-use-goes-on = Platte { $plate } läuft darauf und läuft weiter. Wenn sie misslungen ist, sag es mit „Problem“ auf dem Arbeitszettel.
bench-use-why = Warum kann er nicht benutzt werden?
bench-use-do-out = Außer Betrieb nehmen
bench-use-told-out = { $printer } außer Betrieb
bench-use-told-back = { $printer } geht wieder
bench-use-not-here = Dieser Drucker ist nicht an dieser Werkbank.

bench-came-loose = Es hat sich vom Druckbett gelöst
bench-layers-shifted = Schichten sind verschoben
bench-plastic-stopped = Es kam kein Kunststoff mehr
bench-spool-out = Die Spule war leer oder verheddert
bench-lifted = Die Ecken haben sich gehoben
bench-printer-stopped = Der Drucker hielt von selbst an
bench-power-went = Der Strom fiel aus
bench-copies-not-good = Die Stücke sind nicht gut genug
bench-people-leave = Alle gehen, bevor sie fertig ist
bench-it-failed = Es ist misslungen
bench-out-of-use = außer Betrieb
bench-drifted = Seine Maße weichen ab
bench-being-mended = Er wird gerade gereinigt oder repariert
bench-stringy = Fäden oder rau
bench-layers-apart = Schichten lösen sich voneinander
bench-hole = Ein Loch oder eine Lücke darin
bench-broke = Es brach beim Abnehmen
bench-wrong-size = Die Größe stimmt nicht
bench-something-else = Etwas anderes

bench-not-yours = Das ist der Arbeitszettel einer anderen Werkbank.
bench-not-yours-do = Wenn du auch dort arbeitest, wechsle auf deiner Kontoseite in diese Rolle.
bench-no-such-plate = An dieser Werkbank gibt es keine solche Platte.
bench-good-or-scrap = Sag, ob das Stück gut oder Ausschuss ist.
bench-nothing-to-tick = Das gibt es nicht zum Abhaken.
bench-nothing-to-take-back = Das gibt es nicht zum Zurücknehmen.
bench-not-counted = Nicht alle Stücke auf dieser Platte wurden gezählt.
bench-not-counted-do = Lade den Arbeitszettel neu und zähle die guten Stücke jedes Teams darauf.
bench-not-a-count = „{ $text }“ kann nicht die Zahl der guten Stücke sein.
bench-not-a-count-do = Geh zurück und gib eine Zahl von 0 bis { $most } an.
bench-tell-again = Sag es noch einmal vom Arbeitszettel aus.

bench-box-nothing-said = Von dieser Kiste kann nichts gesagt werden.
bench-box-nothing-said-do = Sie ist noch nicht geschlossen, wurde vor mehr als 7 Tagen übergeben, oder ihr Inhalt wird schon neu gemacht.
bench-box-said-already = Das hat schon jemand gesagt.
bench-box-said-already-do = Die Koordination entscheidet. Du hast nichts weiter zu tun.
bench-box-what-is-wrong = Was stimmt nicht mit Kiste { $plate }?
bench-box-lead = Die Koordination erfährt es und lässt den Inhalt neu machen, oder sagt, dass die Kiste gefunden ist.
bench-box-what-is-it = Was ist es?
bench-box-tell = Der Koordination sagen
bench-box-choose = Wähle, was nicht stimmt.
bench-box-none = Von diesem Teil gibt es keine solche Kiste.
bench-box-said-at = { $why } Gesagt: { $day } um { $time }.
bench-box-then-open = Neu gemacht bleibt die Zusage offen, und der Plan wird neu gemacht.
bench-box-then-ended = Die Zusage ist zu Ende und bleibt, wie sie endete. Neu gemacht kommt das Teil, sobald Platz ist, ohne Zusage.
bench-box-undecided = Es wurde nichts entschieden.
bench-box-undecided-do = Geh zurück und benutze einen der Knöpfe.

bench-undo-already = Das wurde schon zurückgenommen.
bench-undo-late = Das ist mehr als 10 Minuten her.
bench-undo-adult = Erst soll jemand Erwachsenes danach sehen.
bench-undo-since-looked = Seither wurde danach gesehen. Nimm erst das zurück.
bench-undo-since-off = Seither ist die Platte vom Druckbett. Nimm erst das zurück.
bench-undo-since-failed = Seither ist die Platte misslungen. Nimm erst das zurück.
bench-undo-since-boxed = Seither sind Stücke davon in ihrer Kiste. Nimm erst das zurück.
bench-undo-since-left = Seither ist die Kiste abgegangen. Nimm erst das zurück.
bench-undo-team-has = Das Team hat seine Stücke schon.
bench-undo-made-again = Was darin war, wird seither neu gemacht.
bench-undo-taken-down = Ein Teil darauf wurde seither heruntergenommen.
bench-undo-promise-ended = Eine Zusage endete damit. Sag es der Koordination.
bench-undo-team-said = Das Team selbst sagte, dass es sie hat.
bench-undo-its-promise-ended = Die Zusage endete damit. Sag es der Koordination.
bench-undo-undecided = Jemand hat etwas darüber gesagt, das noch entschieden wird.
bench-undo-looked-again = Seither wurde ein Stück davon noch einmal geprüft, und jemand sagte, ob es gut ist.
bench-undo-plate-changed = Platte { $plate }, die dafür gemacht wurde, hat sich seither geändert.
bench-undo-made-scrap = Ein Stück in Nacharbeit wurde seither zu Ausschuss erklärt.
bench-undo-runs-since = Seither läuft Platte { $plate } auf { $printer }.

bench-spool-none = Es gibt keine Spule S-{ $spool }
bench-spool-none-do = Sieh auf ihr Etikett.
bench-spool-gone = S-{ $spool } ist aufgebraucht oder verschenkt
bench-spool-gone-do = Nimm die Nummer auf dem Etikett der Spule in deiner Hand.
bench-spool-there = S-{ $spool } ist schon auf { $printer }
bench-spool-there-do = Mach weiter.
bench-spool-nowhere = S-{ $spool } ist auf keinem Drucker
bench-spool-nowhere-do = Lade die Seite neu.
bench-spool-elsewhere = { $printer } steht nicht dort, wo S-{ $spool } ist
bench-spool-elsewhere-do = Wähle einen Drucker der Druckschule, die die Spule hat, oder zieh die Spule erst um.
bench-spool-reel = Niemand weiß, was der leere Spulenkörper von S-{ $spool } wiegt
bench-spool-reel-do = Sieh auf dem Spulenkörper nach, wieg einen leeren derselben Art, oder wieg den Kunststoff allein.
bench-spool-too-heavy = Auf S-{ $spool } passen keine { $g } g Kunststoff
bench-spool-too-heavy-do = Prüfe, was die Waage zeigt und ob der Spulenkörper mit darauf war.
bench-spool-less-than-reel = { $g } g ist weniger als der leere Spulenkörper von S-{ $spool } ({ $reel } g)
bench-spool-less-than-reel-do = Prüfe, was die Waage zeigt und ob der Spulenkörper mit darauf war.
bench-spool-more-than-new = { $g } g Kunststoff wären mehr, als S-{ $spool } neu hatte ({ $new } g)
bench-spool-more-than-new-do = Prüfe die Waage und die Nummer auf dem Etikett. Wenn es so ist, setz unten das Häkchen.
bench-delivery-not-open = Diese Lieferung ist nicht offen
bench-delivery-not-open-do = Lade die Seite neu; vielleicht hat jemand sie empfangen oder abgesagt.
bench-program-no-slot = Dieses Druckprogramm braucht { $time }, und kein Drucker dieser Art hat so viel Zeit am Stück
bench-program-no-slot-do = Prüfe, ob es das Druckprogramm dieser Platte ist. Wenn ja, bitte die Koordination, die Platte auf zwei aufzuteilen.
