### region

region-then = { $before } { $next }
region-day-at = { $day } at { $clock }
region-part-of = { $whose } { $part }
region-place = { $printer }, { $time }
region-no-place = no place

region-title = { $n ->
    [0] No promise is at risk.
    [one] One promise is at risk.
   *[other] { $count } promises are at risk.
}
region-lead-open = { $n ->
    [one] { $n } pledge is open.
   *[other] { $n } pledges are open.
}
region-lead-all-hold = { $n ->
    [one] { $n } pledge is open, and it holds.
   *[other] { $n } pledges are open, and all hold.
}
region-lead-other-holds = { $n ->
    [one] { $n } pledge is open; the other one holds.
   *[other] { $n } pledges are open; the other one holds.
}
region-lead-others-hold = { $n ->
    [one] { $n } pledge is open; the other { $others } hold.
   *[other] { $n } pledges are open; the other { $others } hold.
}
region-lead-none-waits = No file is waiting for a word from us.
region-lead-waiting = { $n ->
    [one] { $count } part stands without a promise.
   *[other] { $count } parts stand without a promise.
}
region-all-promises = All open promises by risk

region-risks = Promises at risk
region-out = Printers out of use
region-quiet-label = Hosts that have not ticked
region-quiet = { $n ->
    [one] one plate was due { $since }, and nobody has ticked it. Ask there first.
   *[other] { $count } plates were due, the first { $since }, and nobody has ticked them. Ask there first.
}
region-quiet-wait = { $n ->
    [one] One promise waits for that.
   *[other] { $count } promises wait for that.
}
region-quiet-open = { $n ->
    [one] The promise, and what else could be done
   *[other] The { $count } promises, and what else could be done
}
region-quiet-sheet = Run sheet of { $host }
region-risk-not-reported = has not been reported at its place by { $day } { $clock }, because { $because }.
region-risk-not-reported-only = has not been reported at its place by { $day } { $clock }.
region-risk-will-miss = will miss { $day } { $clock }, because { $because }.
region-risk-will-miss-only = will miss { $day } { $clock }.
region-risk-may-miss = may miss { $day } { $clock }, because { $because }.
region-risk-may-miss-only = may miss { $day } { $clock }.
region-likely = It would come { $by }.
region-likely-unknown = It can’t be said when it would come.
region-odds-now-html = <b>{ $ten } in 10</b> as things stand. { $likely }
region-odds-then-html = <b>{ $ten } in 10</b> { $says }
region-choice = if it is made on { $printer } at { $host }, { $time }. { $cost }
region-choice-nobody = Nobody else’s plate moves.
region-choice-others = { $n ->
    [one] { $count } other plate moves and every promise that holds still holds.
   *[other] { $count } other plates move and every promise that holds still holds.
}
region-choice-button = Move it to { $printer }
region-choice-stop = if plate { $plate } on { $running } is stopped now and made again on { $printer } at { $host }, { $time }. { $cost }
region-choice-stop-button = Stop plate { $plate }, make it on { $printer }
region-move-stop = Plate { $plate } on { $running } is stopped now; its bench is told. What is on it is made again.
region-no-choice = We found no place in the plan that makes it surer.
region-moves = See what moves
region-move = Plate { $plate } ({ $label }): from { $old } to { $new }
region-move-again = Plate { $plate } ({ $label }): runs now and would be made again { $old } to { $new }
region-see-ticket = See the ticket
region-not-ours = That form was not ours.
region-not-ours-do = Open the region’s page and decide there.

region-machines = Printers that can’t be heard, or run alone
region-waiting = Without a promise
region-waiting-who = { $part }, { $team }
region-waiting-change = the team has been told what to change
region-waiting-review = it waits for your review
region-waiting-no-day = it can be printed, but no day could be promised
region-recalls = Recalled, and not all checked

region-hours = The next 48 hours
region-hours-narrow = Here are the first 24 hours. The table has all 48.
region-hours-none = Nothing is planned in these hours.
region-hours-table = The same as a table
region-hours-table-label = The next 48 hours as a table
region-hours-printer = Printer
region-hours-plate = Plate
region-hours-what = What
region-hours-from = From
region-hours-until = Until
region-hours-state = State
region-state-running-risk = running, at risk
region-state-risk = at risk
region-state-running = running
region-state-over = over
region-state-planned = planned

region-timeline = The next hours for { $printers } printers at { $hosts } schools.
region-timeline-label = { $label } The table below says the same in words.
region-timeline-now = now, { $clock }
region-timeline-nobody = nobody there in these hours
region-timeline-staffed = people there { $hours }
region-timeline-alone = may run alone
region-timeline-alone-after = , may run alone
region-key-planned = planned plate
region-key-running = running
region-key-risk = carries a pledge at risk
region-key-out = out of use
region-key-failed = failed
region-key-nobody = nobody there (wide hatch: may run alone)

region-room = Printer-hours in the next seven days
region-room-lead = With somebody there. A printer that takes two plastics counts in both lines. Asked: what is promised and not started; in the lines of beds, what needs at least that bed. Nights of printers that may run alone come on top.
region-room-label = Table of printer-hours: { $what }
region-room-plastic = Plastic
region-room-bed = Bed
region-room-printers = Printers
region-room-staffed = Staffed h
region-room-free = Free h
region-room-asked = Asked h

region-printers = What the printers really do
region-printers-recall = Recall what it made meanwhile
region-changes = Why the plan changed
region-links-html = Snow, a holiday? <a href="/region/closed">Close schools for a while</a>. New teams or printers? <a href="/region/data">The region’s tables</a>. What comes? <a href="/region/calendar">The season, week by week</a>. What was made, and for how much? <a href="/season">This season so far</a>
region-recall-html = A printer has drifted, or an old file was printed? <a href="/recalls">Recall copies</a>

region-if-title = What would happen if …
region-if-about = Ask about the plan. It is only a question: nothing is stored and nobody is told.
region-if-page = Only a question: what if …?
region-if-page-asked = Only a question: what if { $supposed }?
region-if-lead-html = Nothing is stored, no plate moves and nobody is told. <a href="/region">To the region as it is</a>
region-if-until = { $day }, { $clock }
region-if-out = { $printer } is out of use until { $until }
region-if-closed = { $school } is closed on { $day }
region-if-more = { $school } has one more printer like { $printer }
region-if-away = nobody is at the bench of { $school } until { $until }
region-if-wrong = { $what }. { $todo }
region-if-wrong-time = The time must be still to come, and within the next six weeks.
region-if-missed = would be missed
region-if-at-risk = would be at risk
region-if-holds-again = would hold again
region-if-promises-missed = { $n ->
    [one] { $count } promise would be missed
   *[other] { $count } promises would be missed
}
region-if-promises-at-risk = { $n ->
    [one] { $count } promise would be at risk
   *[other] { $count } promises would be at risk
}
region-if-promises-hold = { $n ->
    [one] { $count } promise would hold again
   *[other] { $count } promises would hold again
}
region-if-others-missed = { $n ->
    [one] { $count } would be missed
   *[other] { $count } would be missed
}
region-if-others-at-risk = { $n ->
    [one] { $count } would be at risk
   *[other] { $count } would be at risk
}
region-if-others-hold = { $n ->
    [one] { $count } would hold again
   *[other] { $count } would hold again
}
region-if-same = Every promise would stand as it does now.
region-if-verdict = { $one }.
region-if-verdict-two = { $one } and { $other }.
region-if-verdict-three = { $one }, { $other } and { $third }.
region-if-shift = Promised { $promised }. Now { $now } in 10, then { $then } in 10.
region-if-plates = { $n ->
    [0] No plate would move.
    [one] { $count } plate would move.
   *[other] { $count } plates would move.
}
region-if-more-alone = The plan is made anew with it, and it may not run alone: nobody has allowed that.
region-if-lost = What is on the printer now counts as lost and would be printed again.
region-if-moves = See what would move
region-if-hours = The next 48 hours, if it were so
region-if-hours-none = Nothing would be planned in these hours.
region-if-hours-table-label = The next 48 hours as they would be, as a table
region-if-then-label = The next hours if { $supposed }.
region-if-now-label = The next hours as they are planned now.
region-if-now = As it is planned now
region-if-now-table-html = The table of it is on <a href="/region">the region’s page</a>.
region-if-ask = Ask a question
region-if-ask-another = Ask another question
region-if-link = The link of an answer holds the question; send it to whoever should see it.

region-ask-out = A printer is out of use
region-ask-closed = A school is closed for a day
region-ask-away = Nobody is at a bench
region-ask-more = There is one more printer
region-ask-printer = Printer
region-ask-until = Until day
region-ask-time = Time
region-ask-school = School
region-ask-day = Day
region-ask-like = Like
region-ask-at = At
region-ask-out-html = Ask<span class="hush"> about a printer out of use</span>
region-ask-closed-html = Ask<span class="hush"> about a closed school</span>
region-ask-away-html = Ask<span class="hush"> about an empty bench</span>
region-ask-more-html = Ask<span class="hush"> about one more printer</span>
region-new-printer = New, like { $printer }

region-calendar-start = Start plate { $plate }: { $label }, { $material }
region-calendar-off = Take plate { $plate } off: { $label }
region-calendar-counter = Box { $share } is fetched, to { $to }
region-calendar-courier = Box { $share } goes with the round, to { $to }
region-calendar-meeting = Box { $share } goes to the meeting, to { $to }
region-calendar-promised = { $part }, { $n } promised
region-calendar-late = Late: { $part }, { $n }, promised { $promised }
region-calendar-late-unknown = Late, nobody can say yet when it comes: { $part }, { $n }, promised { $promised }
region-calendar-all-closed = All schools closed: { $reason }
region-calendar-closed = Closed: { $reason } ({ $schools })
region-calendar-hand-over = { $name }: boxes are handed over
region-calendar-round = { $name } collects; delivers { $arrives }
region-calendar-too-often = That was too often.
region-calendar-none = There is no such calendar.
region-begin-title = Your region has no printer yet.
region-begin-lead = Put in who prints, and bring your people in. From then on teams can send their parts.
region-begin-tables-html = <a href="/region/data">Put in your printers</a>: schools, hosts with their hours, printers and teams, each as a table.
region-begin-people-html = <a href="/people">Invite people</a>: those who work at a bench, and a mentor for each team.
region-decisions = Waits for your word
region-decide-held = { $n ->
    [one] { $count } part is held for your review.
   *[other] { $count } parts are held for your review.
}
region-decide-appeals = { $n ->
    [one] { $count } team asks for a second look.
   *[other] { $count } teams ask for a second look.
}
region-decide-reports = { $n ->
    [one] { $count } part was reported.
   *[other] { $count } parts were reported.
}
region-decide-boxes = { $n ->
    [one] { $count } box is said to be wrong.
   *[other] { $count } boxes are said to be wrong.
}
region-decide-recalls = { $n ->
    [one] { $count } recall is still to be checked.
   *[other] { $count } recalls are still to be checked.
}
region-short = Hosts short of spools
region-alone = Benches without people
region-alone-html = <b>{ $host }</b>: nobody is signed up for its bench yet, so nobody there hears of a plate. <a href="/people">Invite somebody</a>.
