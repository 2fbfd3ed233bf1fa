### spares

spares-lead = They are printed at the meeting and you fetch them there, with the code of the box. The part that you asked for before stays as it is.
spares-copies = How many of each
spares-look = See when you would have them
spares-ask = Ask at the bench, or look again in a while.
spares-hold-html = { $n ->
    [one] { $what }: you hold it by <b class="num">{ $when }</b>, { $chance } in 10.
   *[other] { $what }: you hold them by <b class="num">{ $when }</b>, { $chance } in 10.
}
spares-back = Back to the part
spares-of = { $n ->
    [one] { $n } copy in { $material }
   *[other] { $n } copies in { $material }
}
spares-print = { $n ->
    [one] Print { $n } copy
   *[other] Print { $n } copies
}
spares-print-in = { $n ->
    [one] Print { $n } copy in { $material }
   *[other] Print { $n } copies in { $material }
}
spares-no-printer = No printer there takes it in { $material }.
spares-no-time = In { $material } we can’t promise it there before the bench closes at { $closes }.
spares-title = Spares of the { $part }
spares-window = from { $from } to { $until }
spares-hours = The bench is open today { $hours }.
spares-unread = We can’t read the number of copies.
spares-unread-do = Go back and write how many, as a whole number.
