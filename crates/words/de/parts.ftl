### parts

parts-sizes = Maße, die stimmen müssen
parts-sizes-named = { $n ->
    [one] Du hast ein Maß genannt, das stimmen muss. Die Werkbank misst es an jedem Stück; was außerhalb liegt, wird nachgearbeitet oder neu gemacht.
   *[other] Du hast { $n } Maße genannt, die stimmen müssen. Die Werkbank misst sie an jedem Stück; was außerhalb liegt, wird nachgearbeitet oder neu gemacht.
}
parts-size-html = <b>{ $what }</b>: { $size }. Gut { $limits }.
parts-sizes-none = Noch ist nichts gemessen.
parts-sizes-table = Tabelle der gemessenen Maße
parts-piece = Stück
parts-title = { $team }: deine Teile
parts-send = Ein Teil schicken
parts-needs = Braucht dich
parts-looked-at = Wird angesehen
parts-coming = Unterwegs
parts-coming-none = Hier ist nichts. Ein Teil, das wir dir zugesagt haben, steht hier, bis du es in der Hand hast.
parts-odds-html = <b>{ $n } von 10</b>
parts-odds-less-html = <b>{ $n } von 10</b>, weniger als die { $promised } von 10 der Zusage
parts-came = Übergeben
parts-came-none = Hier ist noch nichts.
parts-withdrawn = Zurückgezogen
parts-withdrawn-none = Hier ist nichts. Teile, die du zurückziehst, bleiben hier, damit du sie noch einmal schicken kannst.
parts-spares-today = Heute werden Ersatzstücke gedruckt, beim Treffen { $meeting }: { $at }, { $bench }. { $open } Öffne das Teil, das du brauchst.
parts-lead-needs = { $n ->
    [one] Ein Teil braucht etwas von dir.
   *[other] { $count } Teile brauchen etwas von dir.
}
parts-lead-looked-at = { $n ->
    [one] Ein Teil wird zuerst angesehen.
   *[other] { $count } Teile werden zuerst angesehen.
}
parts-lead-coming = { $n ->
    [one] Ein Teil ist unterwegs.
   *[other] { $count } Teile sind unterwegs.
}
parts-lead-next = Als Nächstes kommt { $part }, { $by }.
parts-lead-none = Nichts ist unterwegs. Schick ein Teil, und in einer Minute steht seine Zusage hier.
parts-detail = Nr. { $number }, { $detail }, geschickt { $day }, { $time }
parts-broken = Zusage gebrochen
parts-not-printed = Zugesagt war es für { $by }, und wir haben es nicht gedruckt. Das tut uns leid.
parts-spare-not-printed = Zugesagt war es für { $by }, aber { $bench } schloss, bevor es gedruckt war. Das tut uns leid.
parts-not-made = Zugesagt und nicht gedruckt
parts-came-on = Angekommen: { $day }, { $time }
parts-replaced = Ersetzt
parts-replaced-text = Ein anderes ist an seine Stelle getreten.
parts-withdrawn-text = Du hast es zurückgezogen. Du kannst es noch einmal schicken.
parts-newer-sent = An seine Stelle ist { $number } getreten.
parts-stop = Station { $n } von { $most }: { $stop }
parts-kept = Zusage gehalten
parts-kept-text = Zugesagt: { $by }.
parts-came-late = Zugesagt war es für { $by }, und es kam { $late } zu spät. Das tut uns leid.
parts-at-risk = In Gefahr
parts-comes-unknown = Nach jetzigem Stand können wir nicht sagen, wann es kommt.
parts-comes-by = Nach jetzigem Stand kommt es { $by }.
parts-needs-change = Muss geändert werden
parts-needs-change-text = So kann es nicht gedruckt werden. Sieh dir an, wo es hakt und wie du es änderst.
parts-held = Wird zuerst angesehen
parts-held-text = Die Koordination sieht es sich an, bevor etwas zugesagt wird.
parts-refused = Abgelehnt
parts-refused-text = So drucken wir es nicht. Sieh dir an, warum, und was du tun kannst.
parts-undecided = Niemand hat rechtzeitig entschieden
parts-undecided-text = Niemand hat es rechtzeitig angesehen, darum ist die Antwort von selbst Nein. Sieh dir an, was du tun kannst.
parts-taken-down = Heruntergenommen
parts-taken-down-text = Die Koordination hat es heruntergenommen. Sieh dir an, warum.
parts-not-promised = Noch nicht zugesagt
parts-not-promised-text = Es kann gedruckt werden, aber kein Tag ist zugesagt. Sieh dir an, was möglich ist.
parts-size-between = { $size } mm, { $lower } bis { $upper }
parts-size-tight = Drucke halten bei diesem Maß meist ± { $usual } mm (unsere eigene Regel aus der Praxis): Deines ist enger, es kann also mehrere Versuche brauchen, und keine Wahrscheinlichkeit, die wir nennen, zählt sie mit. Kannst du mehr erlauben, oder es auf Maß bohren oder feilen?
parts-size-not-measured = nicht gemessen: { $why }
parts-size-not-again = { $size }; nicht noch einmal gemessen: { $why }
parts-piece-good = Stück { $copy }
parts-piece-held = Stück { $copy }: angehalten, noch nicht gut
parts-piece-scrap = Stück { $copy }, von Platte { $plate }: Ausschuss, nicht neu gemacht
parts-piece-again = Stück { $copy }, von Platte { $plate }: seitdem neu gemacht
parts-piece-again-soon = Stück { $copy }, von Platte { $plate }: Ausschuss, wird neu gemacht
parts-no-such = Auf deiner Liste gibt es kein Teil mit dieser Nummer.
parts-only-team = Das kann nur das Team selbst.
parts-use-button = Öffne die Seite des Teils als sein Team und nimm den Knopf dort.
parts-open-as-team = Öffne die Seite des Teils als sein Team.
parts-no-withdraw = Dieses Teil kann nicht mehr zurückgezogen werden.
parts-no-withdraw-do = Es wird schon gemacht oder ist zu Ende. Frag die Druckschule, oder warte darauf.
parts-withdraw-title = { $part } zurückziehen?
parts-withdraw-lead = Sein Platz im Plan geht an andere, und seine Zusage endet. Du kannst es noch einmal schicken, aber der Termin kann später sein.
parts-withdraw-go = Zurückziehen
parts-withdraw-keep = Behalten
parts-not-in-file = So ein Teil hat die Datei nicht.
parts-no-layers = Dieses Teil hat keine Schichten, die man zeigen kann.
