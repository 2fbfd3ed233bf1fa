### jobs: the lines of a run sheet

jobs-load = Load { $printer } with plate { $plate }
jobs-look = Look at { $printer }
jobs-stop = Stop { $printer } if plate { $plate } still runs
jobs-stop-asked = Say what became of plate { $plate } on { $printer }
jobs-clear = Clear { $printer }, plate { $plate }
jobs-box = Box plate { $plate } for { $team }
jobs-box-share = Box { $share } from plate { $plate } for { $team }
jobs-hand = Hand over the box of plate { $plate }
jobs-hand-share = Hand over the box { $share } from plate { $plate }
jobs-started = Started
jobs-looks-good = Looks good
jobs-before-you-leave = Before you leave
jobs-not-told = Not told yet
jobs-off-the-bed = Off the bed
jobs-off-good = Off the bed, good
jobs-closed = Closed
jobs-gone = Gone
jobs-handed-over = Handed over
jobs-done = Done { $time }
jobs-failed = Failed { $time }

jobs-sheet = Sheet: { $sheet }. Nozzle { $nozzle } °C, bed { $bed } °C, unless the spool’s label says otherwise.
jobs-bed = Bed: cool, empty and wiped.
jobs-file = File: plate-{ $plate }.3mf, from the plate’s page, through your own toolpath program.
jobs-done-by = It should be done by { $time }.
jobs-takes-done-by = It takes { $band }. It should be done by { $time }.
jobs-tick-here = Tick here when it starts there.
jobs-may-run-alone = It runs { $length } and partly with nobody there. Only { $printer } may: { $paper }. Door shut, nothing on top of it.
jobs-stay-with-it = It runs { $length }. Stay with it: { $printer } may not run alone.
jobs-measure-each = Measure each copy of { $part }: { $sizes }.

jobs-says-stopped = The printer says it stopped at { $time }: look at it.
jobs-says-ended = The printer says it ended at { $time }: take it off.
jobs-says-halted = The printer says it stands still since { $time }: look at it. Keep your hands out, it may move again by itself.
jobs-says-runs = The printer says it has run since { $time }: keep your hands out until it has ended.

jobs-failed-because = { $reason }. Put what’s left in the scrap tin.
jobs-started-itself-look = { $what }, { $material }. The printer says it started at { $time }. An adult is to look at it.
jobs-started-itself-free = { $what }, { $material }. The printer says it started at { $time }. Take it back if that was something else.
jobs-takes = { $what }, { $material }. Takes { $band }.
jobs-took = { $what }, { $material }. Off the bed { $length } after its start.
jobs-known-since = Going by the latest runs on { $printer }, we now expect { $band }.
jobs-first-layer = First layer of plate { $plate }: flat lines, no gaps, all corners down.
jobs-stop-why = { $what }. Nobody has permitted { $printer } to run with nobody here. If it isn’t done when the last of you leaves, stop it, let it cool, and say how it went: the plate is planned again. Only the site’s owner can permit more, beforehand.
jobs-stop-asked-why = { $what }. It was running when people left, and nobody has said whether it was stopped or was done. Look first: it may be hot, and it may still run. Then say how it went. Nobody has permitted { $printer } to run with nobody here.
jobs-wait-until-cool = { $what }. Wait until the bed is below 40 °C: it’s hot and the parts come off easier.
jobs-count-good = Count the good ones.
jobs-good-or-not = Tick only if the copy is good.
jobs-taken-down = The part was taken down. Keep what is made of it here, and give it to nobody. The coordinator says what becomes of it.
jobs-box-to = { $what }, to { $to }. The list is on the label.
jobs-counter-done = Over the counter, to { $team }.
jobs-counter = Over the counter, to { $team }. Ask for the box’s code: it stands on their part’s page.
jobs-leaves = { $way }: it leaves { $leaves } and is at { $to } on { $arrives }.
jobs-no-round = To { $to }. No round goes before the calendars end.
