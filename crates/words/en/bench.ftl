### bench: run sheets, trouble, boxes in doubt, and what the workshop answers at the bench

bench-title = Run sheet, { $host }, { $day }
bench-number = Run sheet { $number }.
bench-made = Made { $at }. A newer one replaces it.
bench-days = Days
bench-boxes = Boxes
bench-crew = Crew
bench-day-before = Day before
bench-today = Today
bench-day-after = Day after
bench-staffed = Somebody is at the bench from { $from } until { $until }.
bench-not-staffed = Nobody is at the bench on this day.
bench-closed = Closed { $day }: { $reason }.
bench-printers-say = What the printers say
bench-you-say = What is good and what failed, you say. A printer that stands still may start by itself.
bench-nothing-to-do = Nothing to do here on this day.
bench-look-after = Look at the first layer after 15 minutes.
bench-held-recalled-html = <b>Held:</b> { $n } to be checked again: { $n ->
    [one] it was
   *[other] they were
} recalled.
bench-held-html = <b>Held:</b> { $n } to be reworked or measured.
bench-say-how-it-went = Say how it went
bench-what-it-should-look-like = What it should look like
bench-take-it-back = Take it back
bench-measure-one-by-one = Measure, one by one
bench-good-of-what = { $what }: good
bench-good = Good
bench-of = of { $n }
bench-spool = Spool
bench-one-by-one = One by one
bench-not-good = Not good
bench-inspect-plate = inspect plate { $plate }
bench-trouble-with-html = Trouble<span class="hush"> with: { $title }</span>
bench-pass-it-on = Pass it on
bench-pen-looked = looked
bench-pen-boxed = boxed
bench-pen-time = time
bench-pen-initials = initials
bench-plastic = Plastic still to be loaded
bench-grams-unknown = not known
bench-first-layer = The first layer: what to look for
bench-mind = Mind
bench-night = { $from } to { $until }, nobody here
bench-calendar-end = the end of the calendar
bench-night-empty = { $printers }: empty, cool, switched off.
bench-night-out = { $n ->
    [one] { $printers } is out of use: see that it is off and cool.
   *[other] { $printers } are out of use: see that they are off and cool.
}
bench-night-runs = { $printer }: running plate { $plate } until about { $time }, door shut, nothing on top of it.
bench-night-long = { $printer }: plate { $plate } is over its time, and nobody has said that it is off. Look at it before you leave: door shut, nothing on top of it.
bench-night-stop = { $printer }: stop plate { $plate } before you leave if it still runs, and say how it went. Nobody has permitted it to run alone.
bench-code = Code
bench-no-code = No code?
bench-choose-why = Choose why

bench-sheets = Run sheets
bench-sheets-today = Run sheets of today
bench-sheets-lead-html = One for each host school. <a href="/boxes">All boxes that are to be handed over</a>
bench-host = { $bench }; people there { $hours }
bench-host-students = { $bench }; people there { $hours }; students run it

bench-layer-good-alt = From above: lines side by side without gaps. Cut across: they are flat and touch each other.
bench-layer-good-html = <b>Good.</b> Flat lines that touch, all corners down. Tick “Looks good”.
bench-layer-gaps-alt = From above: gaps between the lines. Cut across: they are round and stand apart.
bench-layer-gaps-html = <b>Gaps.</b> You can see the bed between the lines: the nozzle is too far away. Stop, bring it a little nearer, start again.
bench-layer-ridges-alt = From above: wavy ridges and scratches. Cut across: a thin layer with sharp ridges.
bench-layer-ridges-html = <b>Ridges or scratches.</b> The nozzle ploughs through the plastic: it is too near. Stop, move it a little away, start again.
bench-layer-lifts-alt = From above: a corner curls up. From the side: the end stands off the bed.
bench-layer-lifts-html = <b>A corner lifts.</b> It will come loose. Stop, let the bed cool, wipe it, check its heat, keep draughts out, start again.

bench-trouble = Trouble with { $printer }
bench-trouble-plate = Trouble with { $printer }, plate { $plate }
bench-trouble-running = Plate { $plate }: { $label }. Stop the printer first and let it cool. Nobody is to blame; the plate is planned again as soon as you have said what happened.
bench-trouble-waiting = Plate { $plate }: { $label }. It has not been started. If { $printer } can’t be used, what is planned on it goes elsewhere.
bench-what-happened = What happened?
bench-still-good = Copies that are good all the same, of { $of }
bench-still-good-of-what = { $what }: copies that are good all the same, of { $of }
bench-counted-is-held = Its sizes must be right: what you count here is held until you have measured it.
bench-can-print-again = Can { $printer } print again now?
bench-yes-once-clean = Yes, once it is clean
bench-no-out-until = No, it is out of use until
bench-out-until = Until when can { $printer } not be used?
bench-reason-missing = Choose what happened.
bench-out-missing = Say whether the printer can print again now.
bench-day = Day
bench-time = Time
bench-print-again = Print it again
bench-plan-again = Plan it again
bench-it-is-fine = Back, it is fine
bench-back-to-sheet = Back to the sheet
bench-until-missing = Give the day and the time from which the printer can be used again.
bench-until-over = That time is over. Give one that’s still to come.
bench-until-far = That’s more than a year away. Look at the year.
bench-uses = Printers here
bench-use-until = { $day }, { $time }
bench-use-free = it can be used.
bench-use-runs = plate { $plate } runs on it.
bench-use-drifted = { $stands } What it had made was recalled { $at }: make a small test part and measure it before you print parts on it.
bench-use-out = out of use until { $until }: { $reason }.
bench-use-out-runs = out of use until { $until }: { $reason }. Plate { $plate } still runs on it.
bench-use-out-on = { $printer } is out of use until { $until }: { $reason }.
bench-use-out-at = { $printer }, { $host }: out of use until { $until }: { $reason }.
bench-use-out-of-html = Out of use<span class="hush">: { $printer }</span>
bench-use-works-html = Works again<span class="hush">: { $printer }</span>
bench-use-title = Take { $printer } out of use
bench-use-lead = Say why and until when { $printer } can’t be used. What is planned on it goes elsewhere. As soon as it works again, say so on the run sheet.
bench-use-goes-on = Plate { $plate } runs on it and goes on. If it failed, say so with Trouble on the run sheet.
bench-use-why = Why can it not be used?
bench-use-do-out = Take it out of use
bench-use-told-out = { $printer } out of use
bench-use-told-back = { $printer } works again
bench-use-not-here = This printer is not at this bench.

bench-came-loose = It came loose from the bed
bench-layers-shifted = Layers are shifted
bench-plastic-stopped = Plastic stopped coming
bench-spool-out = The spool ran out or tangled
bench-lifted = It lifted at the corners
bench-printer-stopped = The printer stopped by itself
bench-power-went = The power went
bench-copies-not-good = The copies are not good enough
bench-people-leave = People leave before it is done
bench-it-failed = It failed
bench-out-of-use = out of use
bench-drifted = Its sizes have drifted
bench-being-mended = It is being cleaned or mended
bench-stringy = Stringy or rough
bench-layers-apart = Layers came apart
bench-hole = A hole or a gap in it
bench-broke = It broke coming off
bench-wrong-size = The wrong size
bench-something-else = Something else

bench-not-yours = This is another bench’s sheet.
bench-not-yours-do = If you work there too, change over to that role on your account page.
bench-no-such-plate = There is no such plate at this bench.
bench-good-or-scrap = Say whether the copy is good or scrap.
bench-nothing-to-tick = There is no such thing to tick.
bench-nothing-to-take-back = There is no such thing to take back.
bench-not-counted = Not all copies on this plate were counted.
bench-not-counted-do = Reload the run sheet, and count the good ones of each team on it.
bench-not-a-count = “{ $text }” can’t be the number of good copies.
bench-not-a-count-do = Go back and give a number from 0 to { $most }.
bench-tell-again = Tell it again from the run sheet.

bench-box-nothing-said = Nothing can be said of that box.
bench-box-nothing-said-do = It is not closed yet, was handed over more than 7 days ago, or is made again already.
bench-box-said-already = Somebody has said so already.
bench-box-said-already-do = The coordinator decides. You have nothing more to do.
bench-box-what-is-wrong = What is wrong with box { $plate }?
bench-box-lead = The coordinator is told, and has it made again, or says that it was found.
bench-box-what-is-it = What is it?
bench-box-tell = Tell the coordinator
bench-box-choose = Choose what is wrong.
bench-box-none = There is no such box of this part.
bench-box-said-at = { $why } Said { $day } at { $time }.
bench-box-then-open = Made again, its promise stays open, and the plan is made anew.
bench-box-then-ended = Its promise has ended and stays as it ended. Made again, it comes as soon as there is room, without a promise.
bench-box-undecided = Nothing was decided.
bench-box-undecided-do = Go back and use one of the buttons.

bench-undo-already = It was taken back already.
bench-undo-late = It was done more than 10 minutes ago.
bench-undo-adult = An adult is to look at it first.
bench-undo-since-looked = Since then it was looked at. Take that back first.
bench-undo-since-off = Since then it is off the bed. Take that back first.
bench-undo-since-failed = Since then it failed. Take that back first.
bench-undo-since-boxed = Since then copies of it are in their box. Take that back first.
bench-undo-since-left = Since then the box has left. Take that back first.
bench-undo-team-has = The team has its copies already.
bench-undo-made-again = What was in it is made again since then.
bench-undo-taken-down = A part on it was taken down since then.
bench-undo-promise-ended = A promise ended with it. Tell the coordinator.
bench-undo-team-said = The team itself said that it has it.
bench-undo-its-promise-ended = The promise ended with it. Tell the coordinator.
bench-undo-undecided = Something is said of it that waits to be decided.
bench-undo-looked-again = A copy of it was looked at again since then, and somebody said whether it is good.
bench-undo-plate-changed = Plate { $plate }, which was made for it, has changed since then.
bench-undo-made-scrap = A copy that was reworked has been made scrap since then.
bench-undo-runs-since = Plate { $plate } runs on { $printer } since then.

bench-spool-none = there is no spool S-{ $spool }
bench-spool-none-do = Look at its label.
bench-spool-gone = S-{ $spool } is used up or given away
bench-spool-gone-do = Take the number on the label of the spool in your hand.
bench-spool-there = S-{ $spool } is on { $printer } already
bench-spool-there-do = Go on.
bench-spool-nowhere = S-{ $spool } is on no printer
bench-spool-nowhere-do = Reload the page.
bench-spool-elsewhere = { $printer } does not stand where S-{ $spool } is
bench-spool-elsewhere-do = Choose a printer of the host that has the spool, or move the spool first.
bench-spool-reel = nobody knows what the empty reel of S-{ $spool } weighs
bench-spool-reel-do = Look on the reel, weigh an empty one of its kind, or weigh the filament alone.
bench-spool-too-heavy = S-{ $spool } can’t hold { $g } g of filament
bench-spool-too-heavy-do = Check what the scale shows, and whether the reel was on it.
bench-spool-less-than-reel = { $g } g is less than the empty reel of S-{ $spool } ({ $reel } g)
bench-spool-less-than-reel-do = Check what the scale shows, and whether the reel was on it.
bench-spool-more-than-new = { $g } g of filament would be more than S-{ $spool } had when new ({ $new } g)
bench-spool-more-than-new-do = Check the scale and the number on the label. If it is so, tick that below.
bench-delivery-not-open = this delivery is not open
bench-delivery-not-open-do = Reload the page; somebody may have received it or called it off.
bench-program-no-slot = this program takes { $time }, and no printer of that kind has so much time at a stretch
bench-program-no-slot-do = Check that it is the program of this plate. If it is, ask the coordinator to have the plate made in two.
