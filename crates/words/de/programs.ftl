### programs

programs-heading = Das Druckprogramm, das unser Drucker ausführt
programs-all-used = Jedes Wort darin wurde verwendet.
programs-we-count = Wir zählen sie und raten nichts. Was sie brauchen, ist in der Zeit nicht enthalten.
programs-send-again = Wenn du es geändert hast, schick es noch einmal; das letzte gilt.
programs-send = Schick das Druckprogramm, das du für diese Platte gemacht hast. Wir planen dann mit seiner Zeit statt mit unserer.
programs-promises-stay = Schon gegebene Zusagen bleiben, wie sie sind.
programs-file = Das Druckprogramm
programs-file-hint = Ein Text mit Zeilen wie G1 X10 Y10; bis 100 MB.
programs-reading = Das Druckprogramm wird gelesen …
programs-use = Seine Zeit nehmen
programs-we-read = Wir lesen seine Zeit, und ob es auf dem Druckbett und bei der Hitze bleibt, für die deine Art von Drucker gemacht ist. Sonst sehen wir nichts darin an: Prüfe es vor dem Start wie immer.
programs-times-yours = Ausgerechnet { $ours }; dein Druckprogramm braucht { $takes }.
programs-times-hosts = Ausgerechnet { $ours }; das Druckprogramm der Druckschule braucht { $takes }.
programs-takes-yours = Dein Druckprogramm braucht { $takes }.
programs-takes-hosts = Das Druckprogramm der Druckschule braucht { $takes }.
programs-levelling = { $n ->
    [one] { $n } Minute davon ist für das Ausmessen des Druckbetts: Das Druckprogramm stößt es an, sagt aber nicht, wie lange es dauert.
   *[other] { $n } Minuten davon sind für das Ausmessen des Druckbetts: Das Druckprogramm stößt es an, sagt aber nicht, wie lange es dauert.
}
programs-uses = { $layers ->
    [one] Es braucht { $grams } g Kunststoff in { $layers } Schicht.
   *[other] Es braucht { $grams } g Kunststoff in { $layers } Schichten.
}
programs-elsewhere = Die Platte ist jetzt auf { $printer } geplant, einem Drucker von anderer Art. Dort gilt das Druckprogramm nicht, und es bleibt bei der Zeit, die wir ausgerechnet haben.
programs-sent = { $file }, geschickt { $at }.
programs-words-not-used = { $n ->
    [one] { $n } Wort darin wurde nicht verwendet
   *[other] { $n } Wörter darin wurden nicht verwendet
}
programs-word-times = { $n ->
    [one] { $word }, { $n }-mal
   *[other] { $word }, { $n }-mal
}
programs-not-timed = Bewegungen von einem unbekannten Ort aus
programs-lines-passed-over = Zeilen, die zum Lesen zu lang sind
programs-axis-no-number = Achse ohne Zahl
programs-arc-not-timed = Bogen ohne Zeit
programs-other-text = (anderer Text)
programs-broken-line = { $word } (kaputte Zeile)
programs-no-temperature = { $word } (ohne Temperatur)
programs-no-time = { $word } (ohne Zeit)
programs-not-above-zero = { $word } (nicht über null)
programs-elsewhere-printed = Diese Platte ist auf dem Drucker einer anderen Werkbank.
programs-who-sends = Nur die Druckschule, die sie druckt, oder die Koordination schickt ihr Druckprogramm.
programs-form-damaged = Dieses Formular ist beschädigt. Wähle die Datei hier noch einmal.
programs-choose = Wähle die Datei des Druckprogramms.
programs-choose-one = Wähle eine einzige Datei: das Druckprogramm dieser Platte.
programs-too-large = Das sind mehr als 100 MB, und mehr nehmen wir nicht. Schreib das Druckprogramm ohne Kommentare, oder frag die Koordination. Nichts wurde geändert.
programs-broken = Die Datei kam nicht vollständig an. Sieh nach deinem Netz und schick sie noch einmal. Nichts wurde geändert.
programs-too-slow = Die Datei kam zu langsam, und wir haben nicht länger gewartet. Sieh nach deinem Netz und schick sie noch einmal. Nichts wurde geändert.
programs-refused = { $why }. { $what_to_do } Nichts wurde geändert.
programs-zero-elsewhere = Prüfe, ob das Druckprogramm für dieses Druckbett gemacht ist, mit dem Nullpunkt an der Ecke vorne links. Eines mit dem Nullpunkt an anderer Stelle kann hier noch nicht verwendet werden.
programs-no-place = diese Platte hat noch keinen Drucker im Plan
programs-send-later = Schick das Druckprogramm, sobald die Platte ihren Platz hat.
programs-lays-nothing = dieses Druckprogramm legt keinen Kunststoff ab
programs-choose-printing = Wähle das Druckprogramm, das diese Platte druckt.
programs-save-as-text = Speichere das Druckprogramm als einfachen Text und schick den.
programs-choose-motion = Wähle das Druckprogramm, das dein Drucker ausführt: einen Text mit Zeilen wie G1 X10 Y10.
programs-binary = das ist eine Binärdatei, kein Druckprogramm (ein Null-Byte bei { $at_byte })
programs-no-motion = nichts in dieser Datei bewegt einen Druckkopf ({ $blocks } Zeilen angesehen)
programs-feed-mode = Zeile { $line }: { $word } gibt Geschwindigkeiten so an, dass wir hier keine Zeit ausrechnen können
programs-write-speeds = Schreib das Druckprogramm mit Geschwindigkeiten in mm oder Zoll pro Minute.
programs-larger-than-bed = Was abgelegt wird, misst { $size } mm in { $axis }, und diese Art von Drucker hat Platz für { $limit } mm.
programs-outside-bed = Der Kopf fährt bis { $axis } = { $reached } mm; das Druckbett reicht von 0 bis { $limit } mm.
programs-nozzle-too-hot = Die Düse wird auf { $asked } °C gestellt; diese Art von Drucker geht bis { $limit } °C.
programs-bed-too-hot = Das Druckbett wird auf { $asked } °C gestellt; diese Art von Drucker geht bis { $limit } °C.
programs-larger-than-bed-do = Mach das Druckprogramm für eine kleinere Platte, oder wähle eine Art von Drucker mit größerem Druckbett.
programs-outside-bed-do = Prüfe, ob das Druckprogramm für dieses Druckbett gemacht ist, mit dem Nullpunkt an der Ecke vorne links. Liegt der Nullpunkt mit Absicht anderswo, ist das kein Fehler.
programs-too-hot-do = Lass es nicht auf dieser Art von Drucker laufen. Mach das Druckprogramm neu, für diesen Kunststoff und diese Art von Drucker.
