### numbers

numbers-spelled = { $n ->
    [0] no
    [1] one
    [2] two
    [3] three
    [4] four
    [5] five
    [6] six
    [7] seven
    [8] eight
    [9] nine
    [10] ten
   *[other] { $n }
}
numbers-copies = { $n ->
    [one] { $n } copy
   *[other] { $n } copies
}
numbers-minutes = { $n ->
    [one] { $n } minute
   *[other] { $n } minutes
}
numbers-hours = { $n ->
    [one] { $n } hour
   *[other] { $n } hours
}
numbers-half-hours = { $n }½ hours
numbers-days = { $n ->
    [one] { $n } day
   *[other] { $n } days
}
