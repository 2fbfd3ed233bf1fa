### printers: was jeder Drucker wirklich tut

printers-learned = Gelernt aus Läufen, deren Ende jemand gesehen hat. Neue Zusagen rechnen damit; gegebene Zusagen bleiben.
printers-learned-but = { $n ->
    [one] Gelernt aus Läufen, deren Ende jemand gesehen hat. Neue Zusagen rechnen damit; gegebene Zusagen bleiben. Drucker ohne bekannten Lauf: { $count }.
   *[other] Gelernt aus Läufen, deren Ende jemand gesehen hat. Neue Zusagen rechnen damit; gegebene Zusagen bleiben. Drucker ohne bekannten Lauf: { $count }.
}
printers-no-time = hat keinen Lauf, dessen Zeit zählt
printers-as-long = { $n ->
    [one] braucht so lange wie ausgerechnet, aus { $n } Lauf
   *[other] braucht so lange wie ausgerechnet, aus { $n } Läufen
}
printers-longer = { $n ->
    [one] braucht { $percent } % länger als ausgerechnet, aus { $n } Lauf
   *[other] braucht { $percent } % länger als ausgerechnet, aus { $n } Läufen
}
printers-less = { $n ->
    [one] braucht { $percent } % weniger Zeit als ausgerechnet, aus { $n } Lauf
   *[other] braucht { $percent } % weniger Zeit als ausgerechnet, aus { $n } Läufen
}
printers-range-longer = 8 von 10 Läufen brauchen zwischen { $low } % und { $high } % länger
printers-range-less = 8 von 10 Läufen brauchen zwischen { $low } % und { $high } % weniger
printers-range = 8 von 10 Läufen brauchen zwischen { $low } % weniger und { $high } % länger
printers-good = { $n ->
    [one] Von 100 Platten erwarten wir { $good } gute beim ersten Versuch, wahrscheinlich { $low } bis { $high }; gedruckt ist bisher { $n } Platte.
   *[other] Von 100 Platten erwarten wir { $good } gute beim ersten Versuch, wahrscheinlich { $low } bis { $high }; gedruckt sind bisher { $n } Platten.
}
printers-not-counted = Für die Zeit nicht gezählt: { $runs }.
printers-unseen = { $n } endeten ungesehen
printers-stopped = { $n } vorzeitig angehalten
printers-by-program = { $n } nach dem eigenen Druckprogramm der Druckschule gerechnet
printers-unbelieved = { $n } mit Zeiten, die nicht stimmen können
printers-noted-late = { $n } zu spät gemeldet, um etwas zu sagen
printers-before-drift = { $n } von vor der Veränderung
printers-pulled-in = { $n } nur zum Teil, weil weit daneben
printers-slower = { $n ->
    [one] { $printer } läuft langsamer als früher: Der letzte Lauf passt nicht zu denen davor. Prüfe Riemen und Düse, mach dann ein kleines Probeteil und miss es nach.
   *[other] { $printer } läuft langsamer als früher: Die letzten { $n } Läufe passen nicht zu denen davor. Prüfe Riemen und Düse, mach dann ein kleines Probeteil und miss es nach.
}
printers-faster = { $n ->
    [one] { $printer } läuft schneller als früher: Der letzte Lauf passt nicht zu denen davor. Prüfe Riemen und Düse, mach dann ein kleines Probeteil und miss es nach.
   *[other] { $printer } läuft schneller als früher: Die letzten { $n } Läufe passen nicht zu denen davor. Prüfe Riemen und Düse, mach dann ein kleines Probeteil und miss es nach.
}
