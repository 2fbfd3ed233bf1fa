### promises

promises-none = Keine Zusage ist offen.
promises-open = { $n ->
    [one] { $count } Zusage ist offen, die am stärksten gefährdete zuerst.
   *[other] { $count } Zusagen sind offen, die am stärksten gefährdete zuerst.
}
promises-found = { $n ->
    [0] Kein Teil zu „{ $search }“.
    [one] Ein Teil zu „{ $search }“.
   *[other] { $count } Teile zu „{ $search }“.
}
promises-found-things = { $n ->
    [one] Ein Treffer zu „{ $search }“.
   *[other] { $count } Treffer zu „{ $search }“.
}
promises-no-risk = Keine davon ist in Gefahr.
promises-risks = { $n ->
    [one] { $count } davon ist in Gefahr: sie hält in weniger als 85 von 100 durchgespielten Plänen.
   *[other] { $count } davon sind in Gefahr: sie halten in weniger als 85 von 100 durchgespielten Plänen.
}
promises-cannot-say = lässt sich nicht sagen
promises-search-label = Etwas finden
promises-search = Suchen
promises-show-all = Alle zeigen
promises-nothing = Nichts ist zugesagt, das noch kommt.
promises-no-words = Kein Teil hat diese Wörter. Versuch es mit einem Stück des Namens oder der Nummer.
promises-search-what = Teile, wie immer sie stehen, nach Nummer, Name, Team, Schule oder Ort; Platten, Kisten und Spulen nach Nummer; Drucker, Teams und Schulen nach Namen.
promises-things = Was sonst passt
promises-things-only = Was gefunden wurde
promises-things-more = { $n ->
    [one] Eines mehr steht nicht hier. Gib mehr Wörter an.
   *[other] { $n } mehr stehen nicht hier. Gib mehr Wörter an.
}
promises-parts = Teile
promises-parts-table = Tabelle der gefundenen Teile
promises-state = Wie es steht
promises-when = Wann
promises-given = Zugesagt
promises-promised-by = Zugesagt { $by }
promises-sent = Geschickt { $day }, { $time }
promises-page = Seite { $page } von { $pages }, das zuletzt geschickte zuerst
promises-before = Seite davor
promises-next = Nächste Seite
promises-kind-plate = Platte
promises-kind-box = Kiste
promises-kind-spool = Spule
promises-plate = Platte { $n }
promises-plate-on = { $label }, auf { $printer }
promises-box = Kiste { $n }
promises-spool = Spule S-{ $n }
promises-spool-at = { $what }, bei { $host }
promises-printer-at = Drucker, steht bei { $host }: siehe Arbeitszettel
promises-team-of = Team, gehört zu { $school }: siehe seine Leute
promises-host-sheet = druckt für die Region: siehe Arbeitszettel
promises-table = Tabelle der offenen Zusagen
promises-part = Teil
promises-promised = Zugesagt
promises-sure-now = Wahrscheinlichkeit jetzt
promises-should-come = Kommt wohl
promises-where = Wo es ist
promises-number = Nr. { $number }
promises-in-ten = { $n } von 10
promises-at-risk = In Gefahr

promises-plan-moved-one = { $why }; Platte { $plate } hat einen anderen Platz
promises-plan-moved = { $why }; { $n } Platten haben einen anderen Platz
promises-plan-pledge = eine Zusage für Anfrage { $request }
promises-plan-anew = neu geplant
promises-plan-started = Platte { $plate } wurde gestartet
promises-plan-not-started = Platte { $plate } wurde nicht gestartet
promises-plan-none-started = Platte { $plate } und { $n } weitere wurden nicht gestartet
promises-plan-out = { $printer } ist außer Betrieb: { $why }
promises-plan-back = { $printer } kann wieder benutzt werden
promises-plan-printer-not-after-all = was über { $printer } gesagt wurde, wurde zurückgenommen
promises-plan-called-back = Anfrage { $number } wurde zurückgezogen
promises-plan-failed = Platte { $plate } ist misslungen: { $why }
promises-plan-off = Platte { $plate } ist vom Druckbett
promises-plan-off-again = Platte { $plate } ist vom Druckbett, { $n } Stück noch einmal zu machen
promises-plan-scrap = ein Stück von Platte { $plate } ist Ausschuss
promises-plan-program = Platte { $plate } dauert { $time } nach dem eigenen Druckprogramm ihrer Druckschule
promises-plan-recalled = zurückgerufene Stücke von Anfrage { $number } sind nicht gut
promises-plan-wrong-unit = Anfrage { $number } wurde in der falschen Einheit gemacht
promises-plan-spools = die Spulen haben sich geändert
promises-plan-not-after-all = { $step ->
    [started] Platte { $plate } wurde doch nicht gestartet
    [looked] die erste Schicht von Platte { $plate } wurde doch nicht angesehen
    [off] Platte { $plate } ist doch nicht vom Druckbett
    [failed] Platte { $plate } ist doch nicht misslungen
    [boxed] Platte { $plate } ist doch nicht in ihrer Kiste
    [left] die Kiste { $plate } ist doch nicht losgegangen
    [handed-over] die Kiste { $plate } wurde doch nicht übergeben
   *[other] bei Platte { $plate } wurde ein Schritt zurückgenommen
}
promises-plan-bench-closed = die Werkbank schloss, bevor Anfrage { $number } gemacht war
promises-plan-other-school = Platte { $plate } geht an eine andere Schule
promises-plan-taken-down = Anfrage { $number } wurde heruntergenommen
promises-plan-taken-down-too = Anfrage { $number } und { $n } mit derselben Datei wurden heruntergenommen
promises-plan-box-again = Kiste { $share } wird noch einmal gemacht: { $why }
promises-plan-box-not-again = Kiste { $share } wird nicht noch einmal gemacht: { $why }
promises-plan-closed-one = { $school } ist geschlossen: { $reason }
promises-plan-closed = { $n } Schulen sind geschlossen: { $reason }
promises-plan-open-one = { $school } ist nicht mehr geschlossen
promises-plan-open = { $n } Schulen sind nicht mehr geschlossen
promises-plan-better = Anfrage { $number } hat einen besseren Platz bekommen
promises-plan-region = { $table ->
    [schools] die Region wurde geändert: Schulen ({ $counts })
    [teams] die Region wurde geändert: Teams ({ $counts })
    [hours] die Region wurde geändert: Zeiten ({ $counts })
    [printers] die Region wurde geändert: Drucker ({ $counts })
   *[other] die Region wurde geändert: { $table } ({ $counts })
}
promises-plan-new = { $n } neu
promises-plan-changed = { $n } geändert
promises-plan-taken-out = { $n } herausgenommen
promises-plan-counts = { $before }, { $last }
promises-plan-region-file = die Region wurde durch eine neuere Datei geändert ({ $counts })
