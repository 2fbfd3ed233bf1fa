### spares

spares-lead = Sie werden beim Treffen gedruckt, und du holst sie dort ab, mit dem Code der Kiste. Das Teil, das du vorher bestellt hast, bleibt, wie es ist.
spares-copies = Wie viele von jedem
spares-look = Ansehen, wann du sie hättest
spares-ask = Frag an der Werkbank, oder sieh später noch einmal nach.
spares-hold-html = { $n ->
    [one] { $what }: Du hast es in der Hand bis <b class="num">{ $when }</b>, { $chance } von 10.
   *[other] { $what }: Du hast sie in der Hand bis <b class="num">{ $when }</b>, { $chance } von 10.
}
spares-back = Zurück zum Teil
spares-of = { $n } Stück aus { $material }
spares-print = { $n } Stück drucken
spares-print-in = { $n } Stück aus { $material } drucken
spares-no-printer = Kein Drucker dort nimmt es in { $material }.
spares-no-time = In { $material } können wir es dort nicht zusagen, bevor die Werkbank um { $closes } schließt.
spares-title = Ersatzstücke: { $part }
spares-window = von { $from } bis { $until }
spares-hours = Die Werkbank ist heute offen { $hours }.
spares-unread = Wir können die Stückzahl nicht lesen.
spares-unread-do = Geh zurück und schreib als ganze Zahl, wie viele.
