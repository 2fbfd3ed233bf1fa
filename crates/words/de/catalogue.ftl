### Datendateien und Tabellen der Region: was an ihnen falsch ist, und Texte, die das Programm mitbringt.

catalogue-bad-file = die Datei der Region ist nicht zu lesen; das Leseprogramm sagt auf Englisch: { $why }
catalogue-twice = „{ $name }“ gibt es zweimal
catalogue-unknown = { $who } nennt „{ $what }“, und das gibt es nicht
catalogue-bad-hours = „{ $text }“ ist nicht wie „mon-fri 08:15-17:30“
catalogue-out-of-range = { $who }: { $what } passt nicht
catalogue-not-taken = { $printer } ist von der Klasse { $class }, und die nimmt { $material } nicht

catalogue-what-agent-address = die Adresse des Agenten
catalogue-what-agent-device = das Gerät beim Agenten
catalogue-what-origin = lat_deg oder lon_deg
catalogue-what-adult-for = adult_for ohne student_run
catalogue-what-no-meeting = spares_on (kein Tag eines Treffens)
catalogue-what-hours-not-on = hours (nicht am Tag von spares_on)
catalogue-what-with-teams = spares_on an einer Schule mit Teams
catalogue-what-where-stays = spares_on, wo ein Drucker zu Gast ist,
catalogue-what-travels = spares_on mit einem Drucker, der herumreist,
catalogue-what-student-run = spares_on an einer Werkbank, die Teammitglieder führen,
catalogue-what-no-home = at_home (das hat nur ein Drucker bei einem Treffen)
catalogue-what-home-at-meeting = at_home (der ist auch bei einem Treffen)
catalogue-what-agent-twice = agent (den hat der Drucker an seiner eigenen Schule)
catalogue-what-home-class = at_home (der ist von einer anderen Klasse)
catalogue-what-home-twice = at_home (der ist an einem Tag an zwei Werkbänken)

catalogue-too-large = die Datei ist größer als 256 kB oder hat mehr als 2000 Zeilen
catalogue-not-utf8 = die Datei ist nicht in UTF-8; speichere sie als CSV UTF-8
catalogue-other-columns = die erste Zeile muss so sein: { $columns }; dazwischen Kommas, keine Strichpunkte
catalogue-broken = Zeile { $line } ist nicht zu lesen: Such ein Anführungszeichen, das nicht geschlossen ist

catalogue-line-has-it = Zeile { $line } hat es schon. Behalte eine davon.
catalogue-cells =
    Hier { $has ->
        [one] ist { $has } Zelle
       *[other] sind { $has } Zellen
    }, es müssen { $must } sein. Setz Text mit Kommas in Anführungszeichen.
catalogue-other-school = Eine andere Schule hat diesen Namen. Gib ihr einen eigenen.
catalogue-needs = { $who } braucht „{ $what }“, und das gäbe es nicht mehr. Ändere zuerst { $who }.
catalogue-would-be-twice = „{ $name }“ gäbe es zweimal, als Team, Drucker oder Schule. Gib einem davon einen anderen Namen.

catalogue-write-name = Schreib hier einen Namen, in einer Zeile, höchstens 100 Buchstaben.
catalogue-write-number = Schreib eine Zahl von { $from } bis { $to }, mit einem Punkt, wie in 0.05.
catalogue-write-yes = Schreib { $word }, oder lass es leer.
catalogue-write-code = Schreib ein Kürzel aus kleinen Buchstaben von a bis z, Ziffern und Strichen.
catalogue-write-school = Schreib das Kürzel einer Schule der Region.
catalogue-write-hours = Schreib Zeiten wie mon-fri 08:15-17:30, mehrere mit einem Strichpunkt dazwischen.
catalogue-write-minutes = Schreib ganze Minuten, von 0 bis 1440.
catalogue-write-whole = Schreib eine ganze Zahl ab 1, oder lass es leer.
catalogue-write-meeting = Schreib den Tag eines Treffens der Liga, wie 2027-03-13, oder lass es leer.
catalogue-leave-empty = Lass es leer, wo keine Teammitglieder die Werkbank führen.
catalogue-write-some-of = Schreib eines oder mehrere davon: { $words }. Oder { $nothing }, oder lass es leer für alle.
catalogue-write-host = Schreib das Kürzel einer Schule, die für andere druckt.
catalogue-write-one-of = Schreib eines davon: { $words }.
catalogue-class-takes-not = Seine Klasse nimmt { $material } nicht. Nimm es heraus.
catalogue-write-plastics = Schreib Kürzel von Kunststoffen, mit einem Strichpunkt dazwischen.
catalogue-write-paper = Schreib, welches Papier es erlaubt, in einer Zeile, oder lass es leer.
catalogue-write-address = Schreib die Adresse des Agenten wie http://10.0.0.5:5000, ohne Passwort, oder lass beide Zellen leer.
catalogue-write-device = Schreib den Namen oder die uuid, die das Gerät beim Agenten hat.
catalogue-write-stays = Schreib das Kürzel einer Druckschule, seinen ersten und seinen letzten Tag dort, wie in alder 2027-02-15 2027-02-19; mehrere der Reihe nach, mit einem Strichpunkt dazwischen.

catalogue-caution-fumes = Erhitztes Filament gibt feine Teilchen und Dämpfe ab. Die Regeln deiner Schule bestimmen den Raum und die Lüftung.
catalogue-caution-styrene = Erhitzt gibt er Styrol und viele feine Teilchen ab. Nimm ihn nur auf einem geschlossenen Drucker, dessen Luft gefiltert oder hinausgeleitet wird, und nur, wo die Regeln deiner Schule es erlauben.
catalogue-caution-softens = Er wird ab etwa 55 °C weich: ein Teil im heißen Auto kann sich verbiegen.
catalogue-caution-lifts = Große flache Teile heben sich beim Abkühlen gern an den Ecken.
catalogue-caution-hot = Düse und Druckbett sind heiß. Lass sie abkühlen, wie der Hersteller des Druckers es sagt, bevor du sie anfasst.
catalogue-caution-isocyanates = Überhitzt kann er Spuren von Isocyanaten abgeben. Geh nie über die Temperatur auf der Spule; die Regeln deiner Schule bestimmen den Raum und die Lüftung.

catalogue-class-compact = kleiner Tischdrucker
catalogue-class-standard = gewöhnlicher offener Drucker
catalogue-class-fast = schneller offener Drucker
catalogue-class-large = großer offener Drucker
catalogue-class-warm = geschlossener Drucker mit warmem Innenraum

catalogue-sheet-pla-plain = PLA normal, Schichten von 0,2 mm
catalogue-sheet-pla-fine = PLA fein, Schichten von 0,12 mm
catalogue-sheet-pla-coarse = PLA grob, Schichten von 0,28 mm
catalogue-sheet-pla-strong = PLA stark, 4 Wände, Füllung in drei Richtungen
catalogue-sheet-petg-plain = PETG normal, Schichten von 0,2 mm
catalogue-sheet-petg-fine = PETG fein, Schichten von 0,12 mm
catalogue-sheet-petg-coarse = PETG grob, Schichten von 0,28 mm
catalogue-sheet-asa-plain = ASA normal, Schichten von 0,2 mm
catalogue-sheet-tpu-plain = TPU normal, Schichten von 0,2 mm

catalogue-front-desk = { $school }, Empfang
catalogue-spares-desk = { $school }, Ersatzstücke
catalogue-meeting-place = { $event }, Treffen der Liga
catalogue-one-of-two = { $one }, oder { $other }

catalogue-prices = Preise: { $why }
catalogue-file-unread = { $why }. Schreib es so, wie es in der Musterdatei steht.
catalogue-line-has-name = „{ $name }“ steht schon in Zeile { $line }. Gib einen eigenen Namen.
catalogue-write-day = Schreib einen Tag wie 2027-03-13.
catalogue-write-clock = Schreib eine Uhrzeit wie 15:30.
catalogue-write-weekdays = Schreib Wochentage wie mon-fri, oder sat.
catalogue-write-later = Es muss nach { $what } kommen.
catalogue-write-zone = Schreib eine Zeitzone aus der Liste der IANA, zum Beispiel Europe/Stockholm.
catalogue-write-decimals = Schreib { $n }: So viele Stellen hat { $currency } nach dem Komma (ISO 4217). Preise sind ganze Zahlen der kleinsten Einheit.
catalogue-write-currency = Schreib drei große Buchstaben nach ISO 4217, zum Beispiel EUR.
catalogue-write-origin = Schreib lat_deg von -85 bis 85 und lon_deg von -180 bis 180.
catalogue-write-team = „{ $name }“ ist kein Team der Region. Schreib den Namen von einem, oder nimm es heraus.
catalogue-write-from-one = Schreib eine ganze Zahl ab 1.
catalogue-write-price = „{ $code }“ hat keinen Preis. Ergänze einen Block [[{ $list }]] mit { $field } = "{ $code }", wie in der Musterdatei.
catalogue-price-twice = „{ $code }“ hat schon einen Preis. Lass nur einen stehen.
