### numbers

numbers-spelled = { $n }
numbers-copies = { $n } Stück
numbers-minutes = { $n ->
    [one] { $n } Minute
   *[other] { $n } Minuten
}
numbers-hours = { $n ->
    [one] { $n } Stunde
   *[other] { $n } Stunden
}
numbers-half-hours = { $n }½ Stunden
numbers-days = { $n ->
    [one] { $n } Tag
   *[other] { $n } Tage
}
