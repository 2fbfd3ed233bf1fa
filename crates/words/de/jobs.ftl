### jobs: die Zeilen eines Arbeitszettels

jobs-load = { $printer } mit Platte { $plate } laden
jobs-look = { $printer } ansehen
jobs-stop = { $printer } anhalten, falls Platte { $plate } noch läuft
jobs-stop-asked = Sag, was aus Platte { $plate } auf { $printer } wurde
jobs-clear = { $printer } leeren, Platte { $plate }
jobs-box = Platte { $plate } für { $team } in die Kiste
jobs-box-share = Kiste { $share } von Platte { $plate } für { $team } packen
jobs-hand = Kiste von Platte { $plate } übergeben
jobs-hand-share = Kiste { $share } von Platte { $plate } übergeben
jobs-started = Gestartet
jobs-looks-good = Sieht gut aus
jobs-before-you-leave = Bevor du gehst
jobs-not-told = Noch nicht gesagt
jobs-off-the-bed = Vom Druckbett
jobs-off-good = Vom Druckbett, gut
jobs-closed = Geschlossen
jobs-gone = Abgegangen
jobs-handed-over = Übergeben
jobs-done = Erledigt { $time }
jobs-failed = Misslungen { $time }

jobs-sheet = Druckvorgabe: { $sheet }. Düse { $nozzle } °C, Druckbett { $bed } °C, wenn auf dem Etikett der Spule nichts anderes steht.
jobs-bed = Druckbett: kalt, leer und abgewischt.
jobs-file = Datei: plate-{ $plate }.3mf, von der Seite der Platte, durch dein eigenes Programm für Druckwege.
jobs-done-by = Fertig voraussichtlich { $time }.
jobs-takes-done-by = Dauer: { $band }. Fertig voraussichtlich { $time }.
jobs-tick-here = Hake hier ab, wenn es dort anläuft.
jobs-may-run-alone = Der Lauf dauert { $length }, zum Teil ohne jemanden dort. Nur { $printer } darf das: { $paper }. Tür zu, nichts darauf.
jobs-stay-with-it = Der Lauf dauert { $length }. Bleib dabei: { $printer } darf nicht allein laufen.
jobs-measure-each = Miss jedes Stück von { $part }: { $sizes }.

jobs-says-stopped = Der Drucker sagt, er hat angehalten ({ $time }): Sieh nach ihm.
jobs-says-ended = Der Drucker sagt, er ist fertig seit { $time }: Nimm die Platte ab.
jobs-says-halted = Der Drucker sagt, er steht still seit { $time }: Sieh nach ihm. Greif nicht hinein, er kann sich von selbst wieder bewegen.
jobs-says-runs = Der Drucker sagt, er läuft seit { $time }: Greif nicht hinein, bis er fertig ist.

jobs-failed-because = { $reason }. Leg, was übrig ist, in die Ausschussdose.
jobs-started-itself-look = { $what }, { $material }. Der Drucker sagt, er ist um { $time } angelaufen. Jemand Erwachsenes soll danach sehen.
jobs-started-itself-free = { $what }, { $material }. Der Drucker sagt, er ist um { $time } angelaufen. Nimm es zurück, wenn das etwas anderes war.
jobs-takes = { $what }, { $material }. Dauer: { $band }.
jobs-took = { $what }, { $material }. Vom Bett { $length } nach dem Start.
jobs-known-since = Nach den letzten Läufen auf { $printer } erwarten wir jetzt { $band }.
jobs-first-layer = Erste Schicht von Platte { $plate }: flache Linien, keine Lücken, alle Ecken unten.
jobs-stop-why = { $what }. Niemand hat erlaubt, dass { $printer } hier läuft, wenn keiner da ist. Ist die Platte nicht fertig, wenn du als Letztes gehst: anhalten, abkühlen lassen und sagen, wie es lief. Sie wird neu geplant. Mehr erlauben darf nur, wem der Ort gehört, und das vor dem Start.
jobs-stop-asked-why = { $what }. Sie lief, als alle gingen, und niemand hat gesagt, ob sie angehalten wurde oder fertig war. Sieh zuerst nach: Sie kann heiß sein, und sie kann noch laufen. Sag dann, wie es lief. Niemand hat erlaubt, dass { $printer } hier läuft, wenn keiner da ist.
jobs-wait-until-cool = { $what }. Warte, bis das Druckbett unter 40 °C ist: Es ist heiß, und die Teile gehen dann leichter ab.
jobs-count-good = Zähle die guten.
jobs-good-or-not = Hake nur ab, wenn das Stück gut ist.
jobs-taken-down = Das Teil wurde heruntergenommen. Behalte hier, was davon gemacht ist, und gib es niemandem. Die Koordination sagt, was damit wird.
jobs-box-to = { $what }, an { $to }. Die Liste steht auf dem Etikett.
jobs-counter-done = Über die Theke, an { $team }.
jobs-counter = Über die Theke, an { $team }. Frag nach dem Code der Kiste: Er steht auf der Seite ihres Teils.
jobs-leaves = { $way }: Abgang { $leaves }, Ankunft bei { $to } { $arrives }.
jobs-no-round = An { $to }. Es geht keine Runde mehr, bevor die Kalender enden.
