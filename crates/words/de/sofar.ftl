### sofar

sofar-name = Diese Saison bis jetzt
sofar-of = { $region }: diese Saison bis jetzt
sofar-of-since = { $region }: diese Saison bis jetzt. Gezählt ist alles, was seit { $day } vermerkt ist.
sofar-nothing-yet = In dieser Saison ist noch nichts übergeben.
sofar-no-whole-part = In dieser Saison ist noch kein Teil ganz übergeben.
sofar-title-none = In dieser Saison zählt noch kein Teil als übergeben; gehaltene Zusagen: { $kept } von { $ended }.
sofar-title = { $n ->
    [one] Ein Teil wurde in dieser Saison übergeben; gehaltene Zusagen: { $kept } von { $ended }.
   *[other] { $count } Teile wurden in dieser Saison übergeben; gehaltene Zusagen: { $kept } von { $ended }.
}
sofar-lead = Vom Schicken bis zur Übergabe: die Hälfte der Teile in { $half } oder weniger, neun von zehn in { $most } oder weniger.
sofar-lead-one = Vom Schicken bis zur Übergabe, bei dem einen Teil bisher: { $time }.
sofar-lead-few = Vom Schicken bis zur Übergabe, bei den Teilen bisher ({ $count }): { $from } bis { $to }.
sofar-lead-few-alike = Vom Schicken bis zur Übergabe, bei den Teilen bisher ({ $count }): jedes { $time }.
sofar-lead-nothing = Wie schnell Teile kamen, steht hier, sobald das erste übergeben ist.
sofar-links-html = <a href="/season.csv">Dasselbe als Tabelle (CSV)</a>. <a href="/shares">Wie gleichmäßig die Teams bedient wurden</a>.
sofar-handed-over = Übergeben
sofar-parts-copies = { $n ->
    [one] { $n } Teil, { $copies }
   *[other] { $n } Teile, { $copies }
}
sofar-promises = Zusagen
sofar-kept-broken = { $kept } gehalten, { $broken } gebrochen, { $over } vorbei und nicht übergeben
sofar-prints = Drucke
sofar-of-them-failed = { $n }, davon { $failed } misslungen
sofar-machine-time = Druckzeit
sofar-plastic = Kunststoff
sofar-cost = Kosten
sofar-prices-are-examples = Die Preise sind Beispiele, bis eure Region eigene einträgt. Zeig die Kosten niemandem als eure.
sofar-unpriced = { $n ->
    [one] Ein Druck hat keinen Preis, oder sein Drucker ist nicht mehr in der Region: er steht nicht in den Kosten.
   *[other] { $n } Drucke haben keinen Preis, oder ihr Drucker ist nicht mehr in der Region: sie stehen nicht in den Kosten.
}
sofar-wrong-unit = { $n ->
    [one] Ein Stück wurde in der falschen Einheit übergeben. Es zählt nicht; was es gebraucht hat, zählt.
   *[other] { $n } Stück wurden in der falschen Einheit übergeben. Sie zählen nicht; was sie gebraucht haben, zählt.
}
sofar-by-month = Nach Monat
sofar-by-material = Nach Kunststoff
sofar-by-school = Nach Schule
sofar-by-team = Stück nach Team
sofar-table = Tabelle: { $title }
sofar-month = Monat
sofar-material = Kunststoff
sofar-school = Schule
sofar-parts = Teile
sofar-copies = Stück
sofar-kept = Gehalten
sofar-broken = Gebrochen
sofar-over = Vorbei
sofar-failed = Misslungen
sofar-grams = Kunststoff, g
sofar-team-html = { $n ->
    [one] <b>{ $team }</b>: 1 Stück, { $percent } %
   *[other] <b>{ $team }</b>: { $n } Stück, { $percent } %
}
sofar-meaning = Was die Zahlen bedeuten
sofar-meaning-parts = Ein Teil zählt, wenn alle seine Stücke übergeben sind. Was in der falschen Einheit kam, zählt nicht.
sofar-meaning-promises = Zusagen: Vorbei sind die, deren Zeit um ist und deren Teil nicht übergeben wurde oder nicht als übergeben gemeldet ist. Sie zählen als nicht gehalten, bis sie als gehalten oder gebrochen enden.
sofar-meaning-fast = Wie schnell: von der Minute, in der ein Teil geschickt wurde, bis zur Übergabe des letzten Stücks.
sofar-meaning-runs = Drucke, Druckzeit, Kunststoff und Kosten sind von allen Drucken, die zu Ende sind, auch von misslungenen. Ein Druck, dessen Ende niemand sah oder dessen vermerkte Zeit nicht stimmen kann, zählt so lang, wie von ihm erwartet wurde. Was die Düse füllt, steht in den Kosten, nicht in den Gramm.
sofar-meaning-cost = Kosten sind Filament, Strom, Abnutzung und Arbeit, als Spanne aus zwei Modellen für den Strom. Bezahlt wird hier nichts.
sofar-meaning-school = Eine Schule hat die Teile und Stücke ihrer Teams und die Drucke ihrer eigenen Werkbank. Zusagen stehen nicht nach Schule da: manche hat nur ein Team.
