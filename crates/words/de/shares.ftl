### shares

shares-nothing-yet = Es wurde noch nichts übergeben.
shares-one-team = Bisher hat nur ein Team etwas bekommen.
shares-too-few = Es wurde noch zu wenig übergeben, um zu sagen, wie gleichmäßig das Drucken verteilt ist.
shares-even = Das Drucken ist gleichmäßig verteilt.
shares-fairly-even = Das Drucken ist ziemlich gleichmäßig verteilt.
shares-uneven = Das Drucken ist ungleich verteilt.
shares-lead = { $n ->
    [one] Bisher hat { $count } Team eine Zusage bekommen.
   *[other] Bisher haben { $count } Teams Zusagen bekommen.
}
shares-of-copies = Übergebene Stücke
shares-of-hours = Druckstunden
shares-of-filament = Kunststoff
shares-of-waiting = Wartezeit
shares-region-pays = { $n ->
    [one] Was in der falschen Einheit herauskam, trägt die Region selbst: { $n } Stück, { $hours } Stunden gedruckt, { $grams } g.
   *[other] Was in der falschen Einheit herauskam, trägt die Region selbst: { $n } Stück, { $hours } Stunden gedruckt, { $grams } g.
}
shares-all-same = jedes Team hat gleich viel bekommen
shares-as-if = so ungleich, als hätten { $n } von 100 Teams gleich viel bekommen und die anderen nichts
shares-with-wrong = { $all }, davon { $wrong } in der falschen Einheit

shares-how-even = Wie gleichmäßig es ist
shares-index-table = Tabelle des Index
shares-of-what = Wovon
shares-index = Index nach Jain
shares-that-is = Das heißt
shares-team-by-team = Team für Team
shares-none = Noch keinem Team ist etwas zugesagt worden.
shares-teams-table = Tabelle der Teams
shares-team = Das Team
shares-promises = Zusagen
shares-copies = Stücke übergeben
shares-hours = Stunden gedruckt
shares-grams = Kunststoff, g
shares-half-within = Die Hälfte kam innerhalb von
shares-meaning = Was die Zahlen bedeuten
shares-meaning-index = Der Index nach Jain ist eine Zahl dafür, wie gleich Anteile sind: zähle alle Anteile zusammen und nimm die Summe mal sich selbst; teile durch die Zahl der Teams mal die Summe der Quadrate. Er ist 1, wenn jedes Team gleich viel bekommen hat. Bei zehn Teams ist er { $least }, wenn ein Team alles bekommen hat.
shares-meaning-need = Er sagt nicht, wer mehr braucht. Ein Team, das um wenig bittet, bekommt wenig, und der Index sinkt; sieh dir die Tabelle an, bevor du urteilst.
shares-meaning-count = Teams zählen ab ihrer ersten Zusage. Stunden sind die von Platten, die vom Druckbett kamen: ein misslungener Druck bringt niemandem etwas.
shares-meaning-wrong = Stücke, die in der falschen Einheit herauskamen, zählen nicht als übergeben. In der Datei der Region steht, ob ihre Stunden und ihr Kunststoff im Anteil des Teams stehen.
shares-meaning-half = „Die Hälfte kam innerhalb von“ ist die mittlere Zeit vom Anfragen bis zum Übergeben.
shares-season-html = Was gemacht wurde, wie schnell und für wie viel: <a href="/season">diese Saison bis jetzt</a>.
