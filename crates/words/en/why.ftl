### why

why-here-now = Why here, why now
why-what-change = What would have to change
why-each-line = Each line alone would keep the promise; the smallest comes first. We tried each by planning with it.
why-no-other = Why on no other printer
why-see-others = See the other printers
why-no-place = It has no place in the plan.
why-no-place-yet = It has no place in the plan yet.
why-no-single-change = No single change keeps the promise: we tried other places, other hours and other ways.
why-late-nowhere = It was promised for { $at } and has no place in the plan.
why-late-nowhere-at = It was promised for { $at } at { $place } and has no place in the plan.
why-late = It was promised for { $at }. As planned it comes { $by } late.
why-late-at = It was promised for { $at } at { $place }. As planned it comes { $by } late.
why-cause-not-released = its host needs time to prepare it
why-cause-nobody = nobody is there at { $host }
why-cause-nobody-stays = it would still print when people leave, and it may not run alone
why-cause-out = it is out of use
why-cause-taken = plate { $plate } is on it
why-cause-too-short = there is not enough time on it before plate { $plate }
why-cause-changing = another filament must be put into it first
why-cause-no-hands = the people at { $host } have no hands left to start it
why-cause-no-filament = { $host } is short of this filament
why-cause-on-its-way = it is on its way between hosts
why-cause-sooner = it comes sooner from where the printer goes next
why-cause-rule = it or its host is busy
why-not-earlier = Not earlier: { $cause }.
why-named-taken = plate { $plate } is on { $printer }
why-named-too-short = { $printer } has not enough time before plate { $plate }
why-named-nobody-stays = it would still print when people leave, and { $printer } may not run alone
why-named-out = { $printer } is out of use
why-named-changing = another filament must be put into { $printer } first
why-named-on-its-way = { $printer } is on its way between hosts
why-named-sooner = it comes sooner from where { $printer } goes next
why-named-rule = { $printer } or its host is busy
why-only = Only { $printer } can make it.
why-was-earliest = It was put on { $printer } when that was the earliest.
why-others-not-earlier = { $n ->
    [one] One other printer could make it, but not earlier than { $printer }.
   *[other] { $n } other printers could make it, but none earlier than { $printer }.
}
why-until = { $cause }: until { $at }.
why-as-soon-as-it-can = It starts as soon as it can.
why-taken-off = It is done by { $done }; people come and take it off at { $off }.
why-box-waits = Its box is ready { $ready }; the next way there arrives { $there }.
why-came-free = Since it was planned, time has come free: it could start { $at }.
why-verdict-material = not for this plastic
why-verdict-small = too small for it
why-verdict-spares = kept for spares at the meeting
why-verdict-for-others = its school passed this on, or the program is for another kind of printer
why-verdict-nobody-stays = may not run alone; it takes { $takes }, and people stay { $longest } at most
why-verdict-no-slot = no time free, or no way there
why-verdict-earlier = earlier by now: it would come { $at }
why-verdict-same = it would come at the same time
why-verdict-later-leg = the way from there is later; it would come { $at }
why-verdict-starts-later = until { $until }: { $cause }; it would come { $at }
why-verdict-longer = it takes longer there and would come { $at }
why-waits-ready = they first get it ready
why-waits-nobody = nobody is there before
why-waits-nobody-stays = it would still be printing when people go home, and the printer may not run alone
why-waits-out = the printer is out of use before
why-waits-others = other parts are printed before it
why-waits-changing = the filament has to be changed first
why-waits-no-hands = the people there start other parts before
why-waits-filament = they wait for more filament
why-waits-on-its-way = the printer is on its way before
why-waits-rule = the printer or its people are busy before
why-starts = It starts on { $printer } at { $host }, { $at }.
why-starts-because = It starts on { $printer } at { $host }, { $at }: { $because }.
why-then-waits = Then it waits for its way to you, from { $at }.
why-no-other-can = No other printer here can make it.
why-other-came-free = Another printer has come free since; the next plan may use it.
why-none-earlier = No other printer would have it there earlier.
why-asked-other-place = It is planned later than promised. To keep the promise, it has to go to another time or printer, which is free.
why-asked-make-room = It is planned later than promised. To keep the promise, another part has to make room, and would still be in time itself.
why-asked-ride-waits = It is planned later than promised. To keep the promise, the box’s ride from { $from } on { $at } has to wait { $by }.
why-asked-hour-more = It is planned later than promised. To keep the promise, somebody has to be at { $place } an hour more, from { $at }.
why-asked-printer-back = It is planned later than promised. To keep the promise, { $printer } has to work again.
why-asked-run-alone = It is planned later than promised. To keep the promise, { $printer } has to be allowed to run alone, which only its school can decide.
why-asked-several = It is planned later than promised. To keep the promise, several other parts have to change places.
why-keeps-other-place = Move it to { $printer } at { $host }, { $at }: it would come { $comes }. No other plate moves.
why-keeps-move-plate = Move plate { $plate } to { $to }, { $then }: then this one goes to { $printer }, { $at }, and it would come { $comes }. The promise of plate { $plate } is not hurt.
why-keeps-hour-more = If somebody is at { $place } from { $from } to { $until }: it would come { $comes }.
why-keeps-printer-back = If { $printer } can be used again now: it would come { $comes }.
why-keeps-run-alone = If { $printer } were allowed to run alone, which only its school can decide: it would come { $comes }.
why-keeps-several = { $n ->
    [one] If { $n } other plate moves: it would come { $comes }. No promise that holds is hurt.
   *[other] If { $n } other plates move: it would come { $comes }. No promise that holds is hurt.
}
why-because-failed = plate { $plate } failed on { $printer } { $at } ({ $reason })
why-because-out = { $printer } is out of use ({ $reason })
why-because-closed = { $school } is closed ({ $reason })
why-because-must-stop = plate { $plate } on { $printer } won’t be done when people leave { $at }, and nobody has permitted it to run alone
why-because-not-started = plate { $plate } was not started { $at }
why-because-runs-long = plate { $plate } runs longer on { $printer } than it should
why-because-not-told = plate { $plate } ran on { $printer } when people left { $at }, and nobody has said what became of it
why-because-scrap = not all copies of plate { $plate } were good
why-because-box-again = what was in box { $share } is made again ({ $why })
why-because-missed = its box did not go { $at }: { $why }
why-because-no-word = nobody has said that it came
why-because-crowded = other plates went before it
why-because-on = on { $at }
why-keeps-leg-waits = If { $kind ->
        [counter] the hand-over
        [courier] the courier round
       *[meeting] the box for the meeting
    } from { $from } on { $at } waits { $by }: it would come { $comes }.
why-clause-gone = nobody can find it
why-clause-never-came = it left, and it has not come
why-clause-wrong-parts = other parts are in it
why-clause-no-courier = the courier did not come
why-clause-not-ready = it was not ready in time
why-clause-left-behind = it was not taken along
why-clause-nobody-came = nobody from the team came
why-reason-loose = it came loose from the bed
why-reason-shifted = layers are shifted
why-reason-stopped-coming = plastic stopped coming
why-reason-spool = the spool ran out or tangled
why-reason-corners = it lifted at the corners
why-reason-stopped = the printer stopped by itself
why-reason-power = the power went
why-reason-drifted = its sizes have drifted
why-reason-mended = it is being cleaned or mended
why-reason-not-good = the copies are not good enough
why-reason-people-leave = people leave before it is done
why-reason-out = out of use
why-reason-failed = it failed
why-reason-other = something else
