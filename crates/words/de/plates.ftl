### plates

plates-one-title = Platte { $seq }, { $host }
plates-one-for = Platte { $seq }, für { $printer }
plates-download = plate-{ $seq }.3mf herunterladen
plates-print-hint = Um dieses Blatt auf Papier zu bringen, nimm die Druckfunktion des Browsers; es passt auf eine Seite.
plates-from-above = Platte { $seq } von oben, { $count } auf einem Druckbett von { $width } mal { $depth } mm. Die Liste daneben sagt dasselbe.
plates-from-above-caption = Von oben, in mm; die Vorderseite des Druckbetts ist unten. Gestrichelt: Platz, der um jedes Stück frei bleibt.
plates-comes-off = Was herunterkommt
plates-comes-off-table = Tabelle: was herunterkommt
plates-mark = Zeichen
plates-part-and-team = Teil und Team
plates-copies = Stück
plates-pledged = Zugesagt
plates-mind = Darauf achten bei diesem Kunststoff
plates-traveler = Begleitzettel
plates-traveler-cut = Schneide ihn an den Strichen aus. Er bleibt bei den Teilen, bis sie in der Kiste sind.
plates-traveler-n = Begleitzettel T-{ $seq }
plates-n = Platte { $seq }
plates-count-to = { $count }, an { $to }
plates-to-more = { $n ->
    [one] { $to }, und an ein weiteres Team
   *[other] { $to }, und an { $n } weitere Teams
}
plates-qr = QR-Code, der zur Seite von Platte { $seq } führt
plates-started = gestartet
plates-by = von
plates-cleared = abgeräumt
plates-good-of = gut von { $copies }
plates-foot = Blatt zu Platte { $seq }, Begleitzettel T-{ $seq }.
plates-made = Erstellt { $made }, Plan { $revision }
plates-is-running = Sie läuft.
plates-waits = Sie wartet auf den Start.
plates-has-no-place = Sie hat keinen Platz im Plan.
plates-is-off = Sie ist vom Druckbett genommen.
plates-failed = Sie ist misslungen. Was darauf war, ist auf einer anderen Platte.
plates-withdrawn = Sie wird nicht mehr gedruckt.
plates-start = Beginn
plates-clear-bed = Druckbett abräumen
plates-clear-from = ab { $at }
plates-takes = Dauert
plates-takes-band = { $middle }, 9 von 10 unter { $high }
plates-known-since = Inzwischen erwartet
plates-kept = Dafür freigehalten
plates-plastic = Kunststoff
plates-sheet = Druckvorgabe
plates-list = Platten
plates-list-lead = In der Reihenfolge, in der sie beginnen. Auf der Seite einer Platte stehen ihre Ansicht von oben, die Datei für den Drucker und der Begleitzettel.
plates-list-empty = Nichts ist geplant. Hier stehen Platten, sobald ein Teil zugesagt ist.
plates-list-title = { $n ->
    [0] Keine Platte ist geplant.
    [one] Eine Platte ist geplant.
   *[other] { $count } Platten sind geplant.
}
plates-plate = Platte
plates-what = Was
plates-printer = Drucker
plates-from = Von
plates-until = Bis
plates-now = Jetzt
plates-state-running = läuft
plates-state-planned = geplant
plates-no-place-yet = noch kein Platz
plates-no-printer = Sie hat keinen Drucker, also wird nicht gezeigt, wie sie liegt.
plates-no-layout = Ihre Teile lassen sich nicht auflegen: { $error }. { $what_to_do }
plates-gone = Diese Platte wird nicht mehr gedruckt.
plates-no-such = Für dich gibt es keine Platte mit dieser Nummer.
plates-carries-down = Ein Teil auf dieser Platte wurde heruntergenommen. Frag die Koordination.
plates-no-such-file = Diese Datei gibt es nicht.
plates-layer-thin = dünn
plates-layer-starts = beginnt
plates-layer-in-the-air = in der Luft
plates-layer-over-air = über Luft
plates-layer-spans = spannt
plates-kind-must = Muss geändert werden, bevor es gedruckt werden kann
plates-kind-worth = Sollte vor dem Druck geändert werden
plates-kind-know = Gut zu wissen
plates-kind-fixed = Von uns behoben
plates-off-at = Vom Druckbett genommen
plates-failed-at = Misslungen
plates-took = Hat gedauert
plates-took-at-most = höchstens { $time }: niemand sah das Ende
plates-took-expected = { $time } waren erwartet, und das zählt: die vermerkte Zeit kann nicht stimmen
