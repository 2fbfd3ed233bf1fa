### boxes

boxes-no-code-yet = The box had no code yet.
boxes-without-code = The team was there without the code.
boxes-taken-for-them = Somebody of their school took it for the team.
boxes-no-courier = The courier did not come.
boxes-not-ready = It was not ready in time.
boxes-left-behind = It was not taken along.
boxes-nobody-came = Nobody from the team came.
boxes-missed-no-courier = { $day } at { $time }: the courier did not come
boxes-missed-not-ready = { $day } at { $time }: it was not ready in time
boxes-missed-left-behind = { $day } at { $time }: it was not taken along
boxes-missed-nobody-came = { $day } at { $time }: nobody from the team came
boxes-did-not-go-html = <b>It did not go</b> { $missed }.
boxes-told-html = <b>Somebody says:</b> { $doubt } The coordinator decides.
boxes-told-team = Somebody told us: { $doubt } The coordinator decides.
boxes-back = Back to the run sheet
boxes-handed-over = Handed over
boxes-handed-over-what = Handed over: { $title }
boxes-gone = Gone
boxes-gone-what = Gone: { $title }
boxes-take-back = Take it back
boxes-checked-good = Checked: all good
boxes-checked-bad = None of it is good
boxes-measure = Measure, one by one
boxes-one-by-one = One by one
boxes-its-label = Its label
boxes-rounds = Rounds that did not come within 7 days
boxes-missed = It did not go
boxes-missed-what = Did not go: { $title }
boxes-missed-why = Why
boxes-plan-next = Plan its next way
boxes-of-part = { $n ->
    [one] Its box
   *[other] Its boxes
}
boxes-one = Box { $plate }: { $copies }
boxes-say-code = Say this code to whoever gives it to you. Only your team can see it.
boxes-code = Code:
boxes-which = box { $plate }
boxes-n = Box { $share }
boxes-label-lead = { $part }, { $copies }, for { $team } at { $place }. { $lead }
boxes-label = Label
boxes-label-cut = Print it, cut along the dashes and stick it on the box. The box’s code is not on it: only the team has that.
boxes-label-open = Not closed yet
boxes-label-from = From { $host }
boxes-label-to-html = to <b>{ $place }</b>
boxes-label-for-html = for <b>{ $team }</b>
boxes-qr = QR code that leads to the page of box { $share }
boxes-packed = packed
boxes-left = left
boxes-came = came
boxes-given = given
boxes-foot = Label of box { $share }.
boxes-not-closed = It is not closed yet. Close it on the run sheet, then stick this on.
boxes-team-has-it = The team has it since { $at }.
boxes-nothing-in-it = Nothing is in it any more: it is not handed over.
boxes-hand-or-say = Hand it over, or say that it did not go
boxes-open-sheet = Open the run sheet
boxes-other-parts = Other parts are in it
boxes-lost = It is lost
boxes-down-here = At { $host }. The part was taken down. Keep the box where it is, and give it to nobody.
boxes-down = The part was taken down. Keep the box where it is, and give it to nobody.
boxes-recalled-here = At { $host }. Copies in it were recalled. Keep the box until they are checked.
boxes-recalled = Copies in it were recalled. Keep the box until they are checked.
boxes-promised = Promised { $by }.
boxes-kept = The promise { $by } was kept.
boxes-broken = The promise { $by } was broken.
boxes-called-back = The promise { $by } was called back.
boxes-superseded = Another took the place of the promise { $by }.
boxes-counter-from = At { $host }: it is given over the counter there, { $at } at the earliest.
boxes-counter = At { $host }: it is given over the counter there.
boxes-courier = At { $host }. It leaves { $leaves }, with the courier round, and should be at { $place } { $arrives }.
boxes-meeting = At { $host }. It leaves { $leaves }, to the league’s meeting, and should be at { $place } { $arrives }.
boxes-no-way = At { $host }. No way to { $place } is in the calendar: fetch it there.
boxes-should-have-left = At { $host }, as far as anybody has said. It should have left { $leaves }. If it did, say so; if it is still there, it can leave { $next } and should be at { $place } { $arrives }.
boxes-left-arrives = It left { $host } { $left } and should be at { $place } { $arrives }.
boxes-left-host = It left { $host } { $left }.
boxes-made-again = made again
boxes-made-again-says = Box { $plate }: { $why } We make what was in it again.
boxes-not-made-again = not made again
boxes-not-made-again-says = Box { $plate }: { $why } We don’t make it again: it was in the wrong unit.
boxes-had-since = You have had it since { $at }.
boxes-team-down = The part was taken down. Its box is not handed over.
boxes-team-recalled = Copies in it were recalled. It comes when somebody has checked them.
boxes-team-missed = It did not go { $missed }.
boxes-team-missed-late = It did not go { $missed }. That is later than we promised. We are sorry.
boxes-team-missed-in-time = It did not go { $missed }. It should still be in time.
boxes-handed-at = Handed over { $at }.
boxes-counts-no-more = What was in it doesn’t count any more.
boxes-row = Box { $share }, { $copies } × { $part }, for { $team }
boxes-waiting = Waiting
boxes-waiting-none = No box waits.
boxes-on-way = On their way
boxes-on-way-none = No box is on its way.
boxes-handed-lately = Handed over within 7 days
boxes-handed-none = None.
boxes-title = { $n ->
    [0] No box is to be handed over.
    [one] { $count } box is to be handed over.
   *[other] { $count } boxes are to be handed over.
}
boxes-lead = Ask the team for the code of its box: it stands on the part’s page. Without it, say why.
boxes-round = { $n ->
    [one] { $host }, { $day } at { $time }: { $count } box did not go.
   *[other] { $host }, { $day } at { $time }: { $count } boxes did not go.
}
boxes-which-way = That form did not say which way the box missed.
boxes-reload = Reload the page and say it again.
boxes-unsaid = Type the code of the box, or choose why there is none.
boxes-go-back = Go back. The team finds the code on the part’s page.
boxes-no-such = There is no box with that number for you.
