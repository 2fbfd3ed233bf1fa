### promises

promises-none = No promise is open.
promises-open = { $n ->
    [one] { $count } promise is open, the least sure first.
   *[other] { $count } promises are open, the least sure first.
}
promises-found = { $n ->
    [one] { $count } part for “{ $search }”.
   *[other] { $count } parts for “{ $search }”.
}
promises-found-things = { $n ->
    [one] { $count } thing for “{ $search }”.
   *[other] { $count } things for “{ $search }”.
}
promises-no-risk = None of them is at risk.
promises-risks = { $n ->
    [one] { $count } of them is at risk: less than 85 of 100 plays of the plan keep it.
   *[other] { $count } of them are at risk: less than 85 of 100 plays of the plan keep it.
}
promises-cannot-say = can’t be said
promises-search-label = Find anything
promises-search = Search
promises-show-all = Show all
promises-nothing = Nothing is promised and still to come.
promises-no-words = No part has these words. Try a part of a name, or its number.
promises-search-what = Parts in any state, by number, name, team, school or place; plates, boxes and spools by number; printers, teams and schools by name.
promises-things = Other things found
promises-things-only = What was found
promises-things-more = { $n ->
    [one] One more is not listed. Say more words.
   *[other] { $n } more are not listed. Say more words.
}
promises-parts = Parts
promises-parts-table = Table of the parts found
promises-state = How it stands
promises-when = When
promises-given = Promised
promises-promised-by = Promised { $by }
promises-sent = Sent { $day }, { $time }
promises-page = Page { $page } of { $pages }, the last sent first
promises-before = Page before
promises-next = Next page
promises-kind-plate = plate
promises-kind-box = box
promises-kind-spool = spool
promises-plate = Plate { $n }
promises-plate-on = { $label }, on { $printer }
promises-box = Box { $n }
promises-spool = Spool S-{ $n }
promises-spool-at = { $what }, at { $host }
promises-printer-at = printer at { $host }, see its run sheet
promises-team-of = team of { $school }, see its people
promises-host-sheet = prints for the region, see its run sheet
promises-table = Table of open promises
promises-part = Part
promises-promised = Promised
promises-sure-now = Sure now
promises-should-come = It should come
promises-where = Where it is
promises-number = No. { $number }
promises-in-ten = { $n } in 10
promises-at-risk = At risk

promises-plan-moved-one = { $why }; plate { $plate } has another place
promises-plan-moved = { $why }; { $n } plates have another place
promises-plan-pledge = a pledge for request { $request }
promises-plan-anew = planned anew
promises-plan-started = plate { $plate } was started
promises-plan-not-started = plate { $plate } was not started
promises-plan-none-started = plate { $plate } and { $n } more were not started
promises-plan-out = { $printer } is out of use: { $why }
promises-plan-back = { $printer } can be used again
promises-plan-printer-not-after-all = what was said of { $printer } was taken back
promises-plan-called-back = request { $number } was called back
promises-plan-failed = plate { $plate } failed: { $why }
promises-plan-off = plate { $plate } is off the bed
promises-plan-off-again = plate { $plate } is off the bed, { $n } to make again
promises-plan-scrap = a copy of plate { $plate } is scrap
promises-plan-program = plate { $plate } takes { $time } by its host’s own program
promises-plan-recalled = recalled copies of request { $number } are not good
promises-plan-wrong-unit = request { $number } was made in the wrong unit
promises-plan-spools = the spools changed
promises-plan-not-after-all = plate { $plate } was not { $step } after all
promises-plan-bench-closed = the bench closed before request { $number } was made
promises-plan-other-school = plate { $plate } goes to another school
promises-plan-taken-down = request { $number } was taken down
promises-plan-taken-down-too = request { $number } and { $n } with the same file were taken down
promises-plan-box-again = box { $share } is made again: { $why }
promises-plan-box-not-again = box { $share } is not made again: { $why }
promises-plan-closed-one = { $school } is closed: { $reason }
promises-plan-closed = { $n } schools are closed: { $reason }
promises-plan-open-one = { $school } is closed no more
promises-plan-open = { $n } schools are closed no more
promises-plan-better = request { $number } was given a better place
promises-plan-region = the region was changed: { $table } ({ $counts })
promises-plan-new = { $n } new
promises-plan-changed = { $n } changed
promises-plan-taken-out = { $n } taken out
promises-plan-counts = { $before }, { $last }
promises-plan-region-file = the region was changed by a newer file ({ $counts })
