### plates

plates-one-title = Plate { $seq }, { $host }
plates-one-for = Plate { $seq }, for { $printer }
plates-download = Download plate-{ $seq }.3mf
plates-print-hint = To print this sheet, use the browser’s own print; it fits one page.
plates-from-above = Plate { $seq } from above, { $count } on a bed of { $width } by { $depth } mm. The list beside it says the same.
plates-from-above-caption = From above, in mm; the front of the bed is below. Dashes: room kept free round each copy.
plates-comes-off = What comes off
plates-comes-off-table = Table of what comes off
plates-mark = Mark
plates-part-and-team = Part and team
plates-copies = Copies
plates-pledged = Pledged
plates-mind = Mind with this plastic
plates-traveler = Traveler label
plates-traveler-cut = Cut along the dashes. It stays with the parts until they are boxed.
plates-traveler-n = Traveler T-{ $seq }
plates-n = Plate { $seq }
plates-count-to = { $count }, to { $to }
plates-to-more = { $n ->
    [one] { $to }, and one more team’s
   *[other] { $to }, and { $n } more teams’
}
plates-qr = QR code that leads to the page of plate { $seq }
plates-started = started
plates-by = by
plates-cleared = cleared
plates-good-of = good of { $copies }
plates-foot = Plate sheet { $seq }, traveler T-{ $seq }.
plates-made = Made { $made }, plan { $revision }
plates-is-running = It is running.
plates-waits = It waits to be started.
plates-has-no-place = It has no place in the plan.
plates-is-off = It is off the bed.
plates-failed = It failed. What was on it is on another plate.
plates-withdrawn = It is not printed any more.
plates-start = Start
plates-clear-bed = Clear the bed
plates-clear-from = from { $at }
plates-takes = Takes
plates-takes-band = { $middle }, 9 in 10 under { $high }
plates-known-since = Expected by now
plates-kept = Kept for it
plates-plastic = Plastic
plates-sheet = Sheet
plates-list = Plates
plates-list-lead = In order of their start. A plate’s page has its plan view, the file for the printer and the label that travels with it.
plates-list-empty = Nothing is planned. Plates stand here as soon as a part is promised.
plates-list-title = { $n ->
    [0] No plate is planned.
    [one] { $count } plate is planned.
   *[other] { $count } plates are planned.
}
plates-plate = Plate
plates-what = What
plates-printer = Printer
plates-from = From
plates-until = Until
plates-now = Now
plates-state-running = running
plates-state-planned = planned
plates-no-place-yet = no place yet
plates-no-printer = It has no printer, so it is not laid out.
plates-no-layout = It can’t be laid out: { $error }. { $what_to_do }
plates-gone = That plate is not printed any more.
plates-no-such = There is no plate with that number for you.
plates-carries-down = A part on this plate was taken down. Ask the coordinator.
plates-no-such-file = There is no such file.
plates-layer-thin = thin
plates-layer-starts = starts
plates-layer-in-the-air = in the air
plates-layer-over-air = over air
plates-layer-spans = spans
plates-kind-must = Must change before it can be printed
plates-kind-worth = Worth changing before you print
plates-kind-know = Good to know
plates-kind-fixed = We fixed it
plates-off-at = Off the bed
plates-failed-at = Failed
plates-took = Took
plates-took-at-most = { $time } at most: nobody saw it end
plates-took-expected = { $time } was expected, and that counts: as noted, its time can’t be right
