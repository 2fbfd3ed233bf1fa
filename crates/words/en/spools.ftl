### spools

spools-one-title = Spool S-{ $number }, { $host }
spools-dry-first-html = <b>Dry it before you print with it{ $how }.</b> Its maker’s label comes first.
spools-weigh = Weigh it
spools-scale-shows = The scale shows, g
spools-reel-on-scale = Was the reel on the scale?
spools-with-reel = Yes, the filament on its reel
spools-without-reel = No, or the scale takes it off by itself
spools-empty-reel = The empty reel weighs, g
spools-nobody-said = (nobody has said yet)
spools-it-is-so = Yes, there is more on it than when it was new
spools-note-weight = Note the weight
spools-doing = What are you doing with it?
spools-take-off = Take it off the printer
spools-open-bag = Open its bag
spools-printer = Printer
spools-put-on = Put it on this printer
spools-was-dried = It has been dried
spools-is-used-up = It is used up
spools-leaves = It leaves this bench
spools-another-host = Another host
spools-goes-there = It goes there
spools-to-whom = To whom outside the region
spools-no-name = (no person’s name; you may leave this empty)
spools-give-away = It is given away
spools-label = Label
spools-label-cut = Print it, cut along the dashes and stick it on the reel.
spools-label-received = received { $day }
spools-label-reel = empty reel { $grams } g
spools-qr = QR code that leads to the page of spool S-{ $number }
spools-pen-opened = opened
spools-pen-dried = dried
spools-pen-weighed = weighed
spools-pen-by = by
spools-happened = What happened to it
spools-foot = Label of spool S-{ $number }.
spools-host-title = Spools at { $host }
spools-host-lead = Spools at { $host }. What is left is the last weighing less what runs have taken since.
spools-to-order = What to order
spools-order = Order
spools-spools = Spools
spools-none-yet = None yet. From the first spool of a material that you tell of, only what you tell of is counted: tell of all of them.
spools-table = Table of spools
spools-spool = Spool
spools-what = What
spools-left = Left
spools-where = Where
spools-dry = Dry?
spools-gone = { $n } more used up or given away.
spools-promised = Promised
spools-late-html = <b>Late.</b>
spools-here = It is here
spools-wont-come = It won’t come
spools-came-in = Spools came in
spools-material = Material
spools-colour = Colour, in words
spools-how-many-alike = How many alike?
spools-net-new = Filament on each when new, g
spools-reel-weight = Weight of an empty reel, g
spools-may-be-empty = (you may leave this empty)
spools-given-by = Given by
spools-put-on-shelf = Put them on the shelf
spools-will-come = Spools will come
spools-counted-from = Plans count on them from the morning after that day, once a spool of the material has been told of here.
spools-how-many = How many?
spools-net-each = Filament on each, g
spools-which-day = On which day?
spools-promised-by = Promised by
spools-note-delivery = Note the delivery
spools-all-lead = Every shelf that somebody counts, the shortest first. A material that nobody has told of at a host is never short there.
spools-choose-host = Choose a host below and tell of its first spool.
spools-shelves = Shelves
spools-hosts = Hosts
spools-how-much = How much to order
spools-how-needed = Needed until an order comes: what the plan’s plates take, and after the last of them what runs took in the last weeks.
spools-how-on-top = On top comes as much as weeks differ, so that running short and having too much cost the same in the long run (the newsvendor’s rule).
spools-how-prices = What a missing and a spare kilogram cost, and how long an order takes, stands in the prices’ file.
spools-nobody-told = Nobody has told of any spool yet.
spools-all-enough = Every shelf that is counted has enough.
spools-to-fill = { $n ->
    [one] { $count } shelf is to fill.
   *[other] { $count } shelves are to fill.
}
spools-many-of = { $n ->
    [one] { $n } spool of { $material }
   *[other] { $n } spools of { $material }
}
spools-none-counted = No spools are counted here yet.
spools-enough-here = There is enough on the shelf.
spools-order-what = Order { $what }.
spools-not-needed = Nothing says that it is needed: no plate waits for it, and no run has used any.
spools-order-says = { $n ->
    [one] Order { $n } spool: { $here } are here; { $expected } are likely to be needed until an order comes ({ $planned } by the plan), and with less than { $point } we would run short too often.
   *[other] Order { $n } spools: { $here } are here; { $expected } are likely to be needed until an order comes ({ $planned } by the plan), and with less than { $point } we would run short too often.
}
spools-order-says-coming = { $n ->
    [one] Order { $n } spool: { $here } are here and { $coming } come; { $expected } are likely to be needed until an order comes ({ $planned } by the plan), and with less than { $point } we would run short too often.
   *[other] Order { $n } spools: { $here } are here and { $coming } come; { $expected } are likely to be needed until an order comes ({ $planned } by the plan), and with less than { $point } we would run short too often.
}
spools-enough-says = Enough: { $here } are here; order when it is less than { $point }.
spools-enough-says-coming = Enough: { $here } are here and { $coming } come; order when it is less than { $point }.
spools-in-its-bag = in its bag
spools-open = open, on the shelf
spools-on-printer = on { $printer }
spools-used-up = used up
spools-given-away = given away
spools-feeds = { $place }, plate { $plate } takes { $weight }
spools-dry-it-first = dry it first
spools-does-not-mind = does not mind
spools-is-dry = dry
spools-comes = { $n ->
    [one] { $n } spool of { $material }, { $each } each: comes { $day }.
   *[other] { $n } spools of { $material }, { $each } each: comes { $day }.
}
spools-comes-from = { $n ->
    [one] { $n } spool of { $material }, { $each } each, from { $donor }: comes { $day }.
   *[other] { $n } spools of { $material }, { $each } each, from { $donor }: comes { $day }.
}
spools-should-have-come = { $n ->
    [one] { $n } spool of { $material }, { $each } each: should have come { $day }. Say whether it is here.
   *[other] { $n } spools of { $material }, { $each } each: should have come { $day }. Say whether it is here.
}
spools-should-have-come-from = { $n ->
    [one] { $n } spool of { $material }, { $each } each, from { $donor }: should have come { $day }. Say whether it is here.
   *[other] { $n } spools of { $material }, { $each } each, from { $donor }: should have come { $day }. Say whether it is here.
}
spools-one-is = S-{ $number }: { $weight } of { $what }
spools-when-new = When new
spools-opened = Opened
spools-dried = Dried
spools-is-it-dry = Is it dry?
spools-weighed-as-reckoned = Weighed: { $net } g of filament, as reckoned
spools-weighed-less = Weighed: { $net } g of filament, { $grams } g less than reckoned
spools-weighed-more = Weighed: { $net } g of filament, { $grams } g more than reckoned
spools-moved = Moved to { $host }
spools-taken-off = Taken off the printer
spools-was-put-on = Put on { $printer }
spools-was-used-up = Used up
spools-was-given-away = Given away
spools-was-given-to = Given away: { $to }
spools-plate-took = Plate { $plate } took { $weight }
spools-received = Received
spools-no-such = There is no such spool at this bench.
spools-no-such-deed = There is no such thing to do with a spool.
spools-no-delivery = there is no such delivery to this host
spools-reload = Reload the page.
spools-without = Plates without a spool
spools-without-title = { $n ->
    [one] { $count } plate has no spool when it is to be started.
   *[other] { $count } plates have no spool when they are to be started.
}
spools-clash = Only one of two plates can have S-{ $spool }: plate { $first } on { $holder } still has it when plate { $second } is to be started on { $printer }, { $time }. Buy or bring another spool of { $material }.
spools-clash-promised = Only one of two plates can have the spool of { $material } that is promised: plate { $first } on { $holder } still has it when plate { $second } is to be started on { $printer }, { $time }. Buy or bring another.
spools-lack = No spool of { $material } has enough on it for plate { $plate } on { $printer }, { $time }: only their ends add up. Buy or bring another.
