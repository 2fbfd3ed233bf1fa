### printers: what each printer really does

printers-learned = Learned from runs whose end somebody saw. New promises count on it; promises given stay.
printers-learned-but = { $n ->
    [one] Learned from runs whose end somebody saw. New promises count on it; promises given stay. { $count } printer has no run on record.
   *[other] Learned from runs whose end somebody saw. New promises count on it; promises given stay. { $count } printers have no run on record.
}
printers-no-time = has no run whose time counts
printers-as-long = { $n ->
    [one] takes as long as worked out, from { $n } run
   *[other] takes as long as worked out, from { $n } runs
}
printers-longer = { $n ->
    [one] takes { $percent } % longer than worked out, from { $n } run
   *[other] takes { $percent } % longer than worked out, from { $n } runs
}
printers-less = { $n ->
    [one] takes { $percent } % less time than worked out, from { $n } run
   *[other] takes { $percent } % less time than worked out, from { $n } runs
}
printers-range-longer = 8 in 10 runs take between { $low } % and { $high } % longer
printers-range-less = 8 in 10 runs take between { $low } % and { $high } % less
printers-range = 8 in 10 runs take between { $low } % less and { $high } % longer
printers-good = { $n ->
    [one] Of 100 plates we expect { $good } good at the first try, likely { $low } to { $high }; it has made { $n } plate.
   *[other] Of 100 plates we expect { $good } good at the first try, likely { $low } to { $high }; it has made { $n } plates.
}
printers-not-counted = Not counted for its time: { $runs }.
printers-unseen = { $n } ended unseen
printers-stopped = { $n } stopped early
printers-by-program = { $n } timed by the host’s own program
printers-unbelieved = { $n } with times that can’t be right
printers-noted-late = { $n } noted too late to say
printers-before-drift = { $n } from before it changed
printers-pulled-in = { $n } only in part, being far off
printers-slower = { $n ->
    [one] { $printer } runs slower than it did: its last run does not fit the ones before. Check belts and nozzle, then make a small test part and measure it.
   *[other] { $printer } runs slower than it did: its last { $n } runs don’t fit the ones before. Check belts and nozzle, then make a small test part and measure it.
}
printers-faster = { $n ->
    [one] { $printer } runs faster than it did: its last run does not fit the ones before. Check belts and nozzle, then make a small test part and measure it.
   *[other] { $printer } runs faster than it did: its last { $n } runs don’t fit the ones before. Check belts and nozzle, then make a small test part and measure it.
}
