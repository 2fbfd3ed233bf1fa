### spools

spools-one-title = Spule S-{ $number }, { $host }
spools-dry-first-html = <b>Trockne sie, bevor du damit druckst{ $how }.</b> Was der Hersteller auf dem Etikett angibt, geht vor.
spools-weigh = Wiegen
spools-scale-shows = Die Waage zeigt, g
spools-reel-on-scale = War der Spulenkörper auf der Waage?
spools-with-reel = Ja, das Filament auf seinem Spulenkörper
spools-without-reel = Nein, oder die Waage zieht ihn von selbst ab
spools-empty-reel = Der leere Spulenkörper wiegt, g
spools-nobody-said = (das hat noch niemand gesagt)
spools-it-is-so = Ja, es ist mehr darauf als im neuen Zustand
spools-note-weight = Gewicht notieren
spools-doing = Was machst du mit ihr?
spools-take-off = Vom Drucker nehmen
spools-open-bag = Ihren Beutel öffnen
spools-printer = Drucker
spools-put-on = Auf diesen Drucker setzen
spools-was-dried = Sie wurde getrocknet
spools-is-used-up = Sie ist aufgebraucht
spools-leaves = Sie verlässt diese Werkbank
spools-another-host = Eine andere Druckschule
spools-goes-there = Sie kommt dorthin
spools-to-whom = An wen außerhalb der Region
spools-no-name = (kein Name einer Person; du darfst das leer lassen)
spools-give-away = Sie wird verschenkt
spools-label = Etikett
spools-label-cut = Druck es aus, schneide es an den Strichen aus und kleb es auf den Spulenkörper.
spools-label-received = erhalten { $day }
spools-label-reel = leerer Spulenkörper { $grams } g
spools-qr = QR-Code, der zur Seite von Spule S-{ $number } führt
spools-pen-opened = geöffnet
spools-pen-dried = getrocknet
spools-pen-weighed = gewogen
spools-pen-by = von
spools-happened = Was mit ihr geschah
spools-foot = Etikett von Spule S-{ $number }.
spools-host-title = Spulen bei { $host }
spools-host-lead = Spulen bei { $host }. Übrig ist, was zuletzt gewogen wurde, ohne das, was Läufe seitdem verbraucht haben.
spools-to-order = Was zu bestellen ist
spools-order = Bestellen
spools-spools = Spulen
spools-none-yet = Noch keine. Ab der ersten Spule eines Kunststoffs, die du uns nennst, zählt nur, was du uns nennst: Nenne uns alle.
spools-table = Tabelle der Spulen
spools-spool = Spule
spools-what = Was
spools-left = Übrig
spools-where = Wo
spools-dry = Trocken?
spools-gone = { $n } weitere aufgebraucht oder verschenkt.
spools-promised = Zugesagt
spools-late-html = <b>Verspätet.</b>
spools-here = Sie ist da
spools-wont-come = Sie kommt nicht
spools-came-in = Spulen sind angekommen
spools-material = Kunststoff
spools-colour = Farbe, in Worten
spools-how-many-alike = Wie viele gleiche?
spools-net-new = Filament auf jeder neuen, g
spools-reel-weight = Gewicht eines leeren Spulenkörpers, g
spools-may-be-empty = (du darfst das leer lassen)
spools-given-by = Gespendet von
spools-put-on-shelf = Ins Regal legen
spools-will-come = Spulen werden kommen
spools-counted-from = Pläne rechnen mit ihnen ab dem Morgen nach diesem Tag, sobald hier eine Spule des Kunststoffs genannt wurde.
spools-how-many = Wie viele?
spools-net-each = Filament auf jeder, g
spools-which-day = An welchem Tag?
spools-promised-by = Zugesagt von
spools-note-delivery = Lieferung notieren
spools-all-lead = Jedes Regal, das jemand zählt, das knappste zuerst. Ein Kunststoff, von dem an einer Druckschule niemand etwas gesagt hat, ist dort nie knapp.
spools-choose-host = Wähle unten eine Druckschule und nenne uns ihre erste Spule.
spools-shelves = Regale
spools-hosts = Druckschulen
spools-how-much = Wie viel zu bestellen ist
spools-how-needed = Gebraucht, bis eine Bestellung kommt: was die Platten des Plans brauchen, und nach der letzten das, was Läufe in den letzten Wochen verbraucht haben.
spools-how-on-top = Dazu kommt so viel, wie sich die Wochen unterscheiden, sodass zu wenig und zu viel auf lange Zeit gleich viel kosten (die Regel vom Zeitungsverkauf).
spools-how-prices = Was ein fehlendes und ein überzähliges Kilogramm kosten, und wie lange eine Bestellung dauert, steht in der Datei der Preise.
spools-nobody-told = Noch hat niemand eine Spule genannt.
spools-all-enough = Jedes Regal, das gezählt wird, hat genug.
spools-to-fill = { $n ->
    [one] Ein Regal ist aufzufüllen.
   *[other] { $count } Regale sind aufzufüllen.
}
spools-many-of = { $n ->
    [one] { $n } Spule { $material }
   *[other] { $n } Spulen { $material }
}
spools-none-counted = Hier werden noch keine Spulen gezählt.
spools-enough-here = Im Regal ist genug.
spools-order-what = Bestelle { $what }.
spools-not-needed = Nichts spricht dafür, dass er gebraucht wird: Keine Platte wartet darauf, und kein Lauf hat davon verbraucht.
spools-order-says = { $n ->
    [one] Bestelle { $n } Spule: { $here } sind da; { $expected } werden wahrscheinlich gebraucht, bis eine Bestellung kommt ({ $planned } nach dem Plan), und mit weniger als { $point } wäre es zu oft zu wenig.
   *[other] Bestelle { $n } Spulen: { $here } sind da; { $expected } werden wahrscheinlich gebraucht, bis eine Bestellung kommt ({ $planned } nach dem Plan), und mit weniger als { $point } wäre es zu oft zu wenig.
}
spools-order-says-coming = { $n ->
    [one] Bestelle { $n } Spule: { $here } sind da und { $coming } kommen; { $expected } werden wahrscheinlich gebraucht, bis eine Bestellung kommt ({ $planned } nach dem Plan), und mit weniger als { $point } wäre es zu oft zu wenig.
   *[other] Bestelle { $n } Spulen: { $here } sind da und { $coming } kommen; { $expected } werden wahrscheinlich gebraucht, bis eine Bestellung kommt ({ $planned } nach dem Plan), und mit weniger als { $point } wäre es zu oft zu wenig.
}
spools-enough-says = Genug: { $here } sind da; bestelle, wenn es weniger als { $point } ist.
spools-enough-says-coming = Genug: { $here } sind da und { $coming } kommen; bestelle, wenn es weniger als { $point } ist.
spools-in-its-bag = in ihrem Beutel
spools-open = offen, im Regal
spools-on-printer = auf { $printer }
spools-used-up = aufgebraucht
spools-given-away = verschenkt
spools-feeds = { $place }, Platte { $plate } braucht { $weight }
spools-dry-it-first = erst trocknen
spools-does-not-mind = Feuchte stört nicht
spools-is-dry = trocken
spools-comes = { $n ->
    [one] { $n } Spule { $material }, je { $each }: kommt { $day }.
   *[other] { $n } Spulen { $material }, je { $each }: kommen { $day }.
}
spools-comes-from = { $n ->
    [one] { $n } Spule { $material }, je { $each }, von { $donor }: kommt { $day }.
   *[other] { $n } Spulen { $material }, je { $each }, von { $donor }: kommen { $day }.
}
spools-should-have-come = { $n ->
    [one] { $n } Spule { $material }, je { $each }: sollte schon da sein ({ $day }). Sag, ob sie da ist.
   *[other] { $n } Spulen { $material }, je { $each }: sollten schon da sein ({ $day }). Sag, ob sie da sind.
}
spools-should-have-come-from = { $n ->
    [one] { $n } Spule { $material }, je { $each }, von { $donor }: sollte schon da sein ({ $day }). Sag, ob sie da ist.
   *[other] { $n } Spulen { $material }, je { $each }, von { $donor }: sollten schon da sein ({ $day }). Sag, ob sie da sind.
}
spools-one-is = S-{ $number }: { $weight }, { $what }
spools-when-new = Als sie neu war
spools-opened = Geöffnet
spools-dried = Getrocknet
spools-is-it-dry = Ist sie trocken?
spools-weighed-as-reckoned = Gewogen: { $net } g Filament, wie berechnet
spools-weighed-less = Gewogen: { $net } g Filament, { $grams } g weniger als berechnet
spools-weighed-more = Gewogen: { $net } g Filament, { $grams } g mehr als berechnet
spools-moved = Nach { $host } gebracht
spools-taken-off = Vom Drucker genommen
spools-was-put-on = Auf { $printer } gesetzt
spools-was-used-up = Aufgebraucht
spools-was-given-away = Verschenkt
spools-was-given-to = Verschenkt: { $to }
spools-plate-took = Platte { $plate } brauchte { $weight }
spools-received = Erhalten
spools-no-such = Diese Spule gibt es an dieser Werkbank nicht.
spools-no-such-deed = So etwas lässt sich mit einer Spule nicht machen.
spools-no-delivery = diese Lieferung an diese Druckschule gibt es nicht
spools-reload = Lade die Seite neu.
spools-without = Platten ohne Spule
spools-without-title = { $n ->
    [one] Eine Platte hat keine Spule, wenn sie beginnen soll.
   *[other] { $count } Platten haben keine Spule, wenn sie beginnen sollen.
}
spools-clash = Nur eine von zwei Platten kann S-{ $spool } haben: Platte { $first } auf { $holder } hat sie noch, wenn Platte { $second } auf { $printer } beginnen soll, { $time }. Kauf oder bring noch eine Spule { $material }.
spools-clash-promised = Nur eine von zwei Platten kann die zugesagte Spule { $material } haben: Platte { $first } auf { $holder } hat sie noch, wenn Platte { $second } auf { $printer } beginnen soll, { $time }. Kauf oder bring noch eine.
spools-lack = Auf keiner Spule { $material } ist genug für Platte { $plate } auf { $printer }, { $time }: nur ihre Reste zusammen reichen. Kauf oder bring noch eine.
