### part

part-lead-html = <b>{ $name }</b>, { $detail }. { $lead }
part-lead-version-html = <b>{ $name }</b>, version { $n }, { $detail }. { $lead }
part-copies-in = { $n ->
    [one] { $n } copy in { $material }
   *[other] { $n } copies in { $material }
}
part-recall = We recall this part
part-recall-good = Checked: it is good
part-recall-bad = It is not good
part-recall-bad-sure = Yes, it is not good: print it again
part-recalled-copies = { $n ->
    [one] { $count } copy that you have: do not use it until somebody has checked it.
   *[other] { $count } copies that you have: do not use them until somebody has checked them.
}
part-recalled-measure = Measure what must fit, look for gaps between the layers, and bend it a little. If you are not sure, say that it is not good.
part-recalled-look = If you can’t use it as it is, say that it is not good. It is not made again of the older file.
part-see-right-one = See the right one
part-could-promise = We could promise
part-take-promise = Take this promise
part-offer = { $by }, { $place }: { $n } in 10.
part-ask-second-look = Ask for a second look
part-have-it = We have it
part-send-changed = Send a changed file
part-see-quicker = See quicker ways
part-see-other = See other ways
part-get-spare = Get a spare at the meeting
part-withdraw = Withdraw the part
part-ask-again = Ask for it again
part-ask-again-sure = Yes, ask for one more
part-again-coming = The first one is still on its way: it comes { $by }. Do you want another one beside it?
part-again-ended = This asks for the same again: same file, same plastic, as many copies.
part-review-it = Review it or take it down
part-drawing-numbered = { $alt }, with numbered places
part-finding-label = Finding { $n }: { $label }
part-more-in-file = And { $n } more in the same file.
part-cant-draw = We can’t draw this part just now.
part-what-we-found = What we found
part-nothing-to-change = Nothing to change. The skin is closed, and it fits our printers.
part-wrong-size = Did it come out in the wrong size?
part-wrong-size-lead = The file does not say its unit. If the part is 25.4 or 10 times too large or too small, we took the wrong one.
part-say-size = Say which size is right
part-should-measure = It should measure
part-resize-then = We judge the same file again in that unit and give it a promise of its own. What was promised for the first one stays on record.
part-resize-team-pays = The hours and the plastic of the first one stay in your team’s share.
part-resize-region-pays = The region pays for the hours and the plastic of the first one, not your team.
part-make-in-size = Make it in that size
part-resize = { $unit }: { $x } × { $y } × { $z } mm
part-millimetres = Millimetres
part-centimetres = Centimetres
part-inches = Inches
part-resized-team-pays = It came out in the wrong unit: { $was }, and it should be { $unit }. Its hours and plastic stand in the team’s share.
part-resized-region-pays = It came out in the wrong unit: { $was }, and it should be { $unit }. The region pays for its hours and plastic.
part-otherwise = Could it come otherwise?
part-otherwise-table = Table of other ways
part-otherwise-what = What would be different
part-otherwise-when = You hold it by
part-otherwise-sure = How sure
part-otherwise-then = That is how it stood when the pledge was given.
part-otherwise-now = That is how it stands now.
part-otherwise-instead = Nothing can be promised for it as it was sent; these could be, now.
part-choose-now = See what you could choose now
part-in-the-way = What stands in the way of an earlier date
part-how-it-comes = How it gets to you
part-plates-table = Table of plates
part-plates-plate = Plate
part-plates-copies = Copies
part-plates-printer = Printer
part-plates-from = From
part-plates-until = Until
part-plates-now = Now
part-plate-runs = running
part-plate-planned = planned
part-plate-off = off the bed
part-plate-failed = failed
part-plate-withdrawn = not printed any more
part-leg-counter = You get it over the counter at { $from }.
part-leg-courier = The box leaves { $from } with the courier round on { $leaves } and is there on { $arrives }.
part-leg-meeting = The box leaves { $from } on { $leaves }; you get it on { $arrives } here: { $to }.
part-history = Every time you sent it
part-version-this = Version { $n }, this one
part-version = Version { $n }
part-sent = sent { $sent }, { $what }
part-sent-fixed = sent { $sent }, { $what }; { $fixed }
part-was-pledged = pledged
part-was-kept = kept
part-was-broken = broken
part-was-replaced = replaced
part-was-called-back = called back
part-is-received = received
part-is-held = held for review
part-is-refused = refused
part-is-to-change = needs change
part-is-ready = ready
part-is-on-a-plate = on a plate
part-is-running = running
part-is-reworked = being reworked
part-is-inspected = inspected
part-is-boxed = boxed
part-is-handed-over = handed over
part-is-withdrawn = withdrawn
part-is-recalled = recalled
part-is-lost = lost
part-whose = Whose it is
part-sender-says = The sender says: { $stated }
part-told = What was said and decided
part-report = Report this part
part-about-plastic = About this plastic
part-you-called-back = You called this part back.
part-newer-sent = { $number } took the place of this one.
part-not-by-need = Not { $need }, as you asked: it comes { $by }.
part-held = We look at this part before we promise anything.
part-held-appealed = You asked for a second look. The coordinator decides; that decision is final.
part-held-answer = { $n ->
    [one] The region’s coordinator looks at some parts before anything is promised. It is no bad sign. You see the answer here, mostly within a day, and the promise with it. If nobody decides within a day, the answer is no by itself; it says nothing about your part.
   *[other] The region’s coordinator looks at some parts before anything is promised. It is no bad sign. You see the answer here, mostly within a day on school days, and the promise with it. If nobody decides within { $n } days, the answer is no by itself; it says nothing about your part.
}
part-refused = No, we don’t print this part as it is.
part-refused-for-good = No, we don’t print this part.
part-refused-lead = The coordinator decided: { $why } { $todo } You may ask for a second look once.
part-refused-twice-lead = The coordinator looked twice: { $why } { $todo } This decision is final.
part-first-answer-stands = Nobody looked a second time, so the first answer stands: { $why } Talk with your mentor.
part-undecided = No promise: nobody decided about this part in time.
part-undecided-lead = We are sorry: that is not your fault. { $todo }
part-undecided-appeal = We are sorry: that is not your fault. { $todo } Or ask for a second look, once.
part-taken-down = This part was taken down.
part-taken-down-lead = The coordinator decided: { $why } Its files are shown to nobody else now, and nothing more of it is made. Ask the coordinator if you think that is wrong.
part-needs-change = Not yet. This part needs a change.
part-cant-be-printed = Something in it can’t be printed.
part-no-day-yet = Yes, we can print this part. No day is promised yet.
part-offer-stands = Nothing is promised yet: the offer below stands until you take it or somebody else takes its place in the plan.
part-kept = The promise was kept.
part-kept-lead = It came { $day } at { $time }.
part-broken = We broke this promise.
part-not-printed-lead = We promised { $day } by { $time } and did not print it. We are sorry.
part-spare-not-printed-lead = We promised { $day } by { $time } and did not print it: { $bench } closed before it was made. We are sorry.
part-late-lead = We promised { $day } by { $time } and it came { $late } late. We are sorry.
part-replaced = Another request took the place of this one.
part-may-be-broken = We may have broken this promise.
part-past-boxed = Its time has passed and nobody has told us that you hold it. If you do, say so below.
part-at-risk = This promise is at risk.
part-at-risk-because = As things stand it comes { $by }, because { $because }. The coordinator sees it too and looks for a way.
part-at-risk-comes = As things stand it comes { $by }. The coordinator sees it too and looks for a way.
part-will-be-late = This part will be late.
part-late-because = It comes { $by }, as things stand, and we had promised it { $promised }. That is because { $because }. We are sorry. The coordinator sees it too and looks for a way.
part-late-comes = It comes { $by }, as things stand, and we had promised it { $promised }. We are sorry. The coordinator sees it too and looks for a way.
part-at-risk-unknown-because = As things stand we can’t say when it comes, because { $because }. The coordinator sees it too and looks for a way.
part-at-risk-unknown = As things stand we can’t say when it comes. The coordinator sees it too and looks for a way.
part-can-be-printed = Yes, we can print this part.
part-being-printed = Your part is being printed.
part-checked = Your part is printed and checked.
part-in-its-box = Your part is in its box.
part-you-have-it = You have your part.
part-found-nothing = We found nothing to change.
part-found-notes = { $n ->
    [one] We have { $count } note for you; nothing has to change.
   *[other] We have { $count } notes for you; nothing has to change.
}
part-found-one-worth = One thing is worth changing; the pledge holds either way.
part-found-all-worth = { $count } findings are worth changing; the pledge holds either way.
part-found-some-worth = { $n ->
    [one] Of { $all } findings, { $count } is worth changing; the pledge holds either way.
   *[other] Of { $all } findings, { $count } are worth changing; the pledge holds either way.
}
part-other-plastic = Another plastic bends, breaks and feels different. Ask your mentor whether it will do for this part.
part-as-it-is = { $part }, { $what }. As it is you have it { $by }, { $n } in 10.
part-as-things-stand = { $part }, { $what }. As things stand it comes { $by }, later than promised.
part-as-it-is-none = { $part }, { $what }. As it was sent, no day can be promised for it.
part-quicker-ways = { $n ->
    [0] There is no quicker way just now
    [one] There is one quicker way
   *[other] There are { $n } quicker ways
}
part-other-ways = { $n ->
    [0] There is no other way just now
    [one] There is one other way
   *[other] There are { $n } other ways
}
part-choosing-ends = Choosing one ends the promise that you have now, once the new one is given.
part-choosing-gives = Choosing one gives you its promise.
part-if-gone = If somebody else was faster and it can’t be had any more, all stays as it is.
part-none-now = That can change when another team calls a part back, or a printer is free again.
part-hold-by-html = You hold it by <b class="num">{ $when }</b>, { $n } in 10.
part-take-in = Take it in { $material }
part-take-first = { $n ->
    [one] Take { $n } copy first
   *[other] Take { $n } copies first
}
part-fewer-first-mind = The other copies become a part of their own on your list. Their day is promised after that of the first ones, and may differ from what stands here.
part-fetch = We will fetch it
part-fetch-mind = Somebody of your team must go there while the school is open, with the code of the box.
part-leave-it = Leave it as it is
part-open-as-team = Open the part’s page as its team.
part-unknown-way = We don’t know that way.
part-choose-a-way = Go back and choose one of the ways.
part-takes = What it will take
part-takes-lead = One copy, printed alone on a { $class }. Nine in ten are done in { $time }.
part-takes-time = Time
part-takes-plastic = Plastic
part-takes-electricity = Electricity
part-takes-cost = Cost
part-grams = { $g } g
part-watt-hours = { $range } Wh
part-takes-cost-of = Of that, filament { $filament }, electricity { $energy }, wear of the printer { $wear }, work { $labour }. With prints that fail, a good one comes to { $good }. Prices are examples until your region puts in its own. No payments are handled.
part-takes-cost-own = Of that, filament { $filament }, electricity { $energy }, wear of the printer { $wear }, work { $labour }. With prints that fail, a good one comes to { $good }. Prices are your region’s own. No payments are handled.
part-range = { $low } to { $high }
part-force = { $force } N
part-money = { $amount } { $currency }
part-weakest = Where it is weakest
part-weakest-how = Worked out from the layers as drawn and from ranges for the plastic, not from a test. Notches, damp and age are not in it.
part-strength-caution = We don't know this part's strength. Layers come apart most easily from each other. Test it behind a guard before use.
part-weak-caption = What joins layer { $layer } to the next, { $up } mm up: { $area } mm². Dashed: sparse inside, where little touches.
part-weak-nowhere = Layer { $layer } and the one on it touch nowhere, at { $up } mm: the part comes in two there.
part-weak-pull = Pulled straight up, it comes apart first over layer { $layer }, { $up } mm up. A pull of { $force } might do it.
part-weak-squat = It is short for its width, so we don't work out a push from the side.
part-weak-push = Pushed sideways at its top, it breaks first over layer { $layer }, { $up } mm up. A push of { $force } might do it.
part-spool-any-with = Spool: { $material }. The plate takes { $plate } g; { $more } g more must be on the reel, to prime the nozzle and as the end that stays. Dry, and it runs free.
part-spool-any = Spool: { $material }. Dry, and it runs free.
part-spool-none-here = Spool: { $material }. The plate takes { $plate } g; { $more } g more must be on the reel, to prime the nozzle and as the end that stays. By our count none is left here. If there is one, say so on the Spools page; if not, ask the coordinator.
part-spool-too-little = Spool: by our count none here has the { $need } g of { $material } that it needs: { $plate } g for the plate, { $more } g to prime the nozzle and as the end that stays on the reel. The fullest is S-{ $number } with { $left } g. Weigh it first, or ask the coordinator.
part-spool-this = Spool: S-{ $number }, { $what }, { $place }. { $left } g are left. The plate takes { $plate } g; { $more } g more must be on the reel, to prime the nozzle and as the end that stays.
part-spool-brief = Spool: S-{ $number }, { $what }, { $place }: { $left } g left, { $need } g needed.
part-spool-on-printer = on { $printer } already
part-spool-in-bag = still in its bag
part-spool-on-shelf = on the shelf
part-spool-damp = It has been open too long: dry it first{ $how }.
part-spool-dry = It is dry. See that it runs free.
part-spool-take-off = Take S-{ $number } off.
part-drying-from-to = , { $short } to { $long } hours at { $low } to { $high } °C
part-drying = , { $short } hours at { $low } to { $high } °C
part-spool-is-too-little = too little
part-spool-is-damp = damp
part-spool-other = another, not on record
part-plate-took = { $state }, took { $time }
part-plate-took-at-most = { $state }, took { $time } at most
part-plate-took-expected = { $state }, counts as { $time }: its time can’t be right
part-took = What it really took
part-took-says = { $n ->
    [one] This copy took { $time } of printing and { $g } g of plastic: { $money }.
   *[other] These { $n } copies took { $time } of printing and { $g } g of plastic: { $money }.
}
part-took-says-about = { $n ->
    [one] This copy took about { $time } of printing and { $g } g of plastic: { $money }.
   *[other] These { $n } copies took about { $time } of printing and { $g } g of plastic: { $money }.
}
part-took-about-money = about { $money }
part-took-no-price = no price is known
part-took-prints = { $n } prints are counted in.
part-took-prints-failed = { $failed ->
    [one] One failed print is counted in, of { $n }.
   *[other] { $failed } failed prints are counted in, of { $n }.
}
part-took-shared = Of a plate shared with others it is this part’s share by plastic.
part-took-unseen = Nobody saw a print end: it counts as long as was expected of it, at most.
part-took-misnoted = Of a print the start or the end was noted at another moment, or nobody saw it end: it counts as long as was expected of it.
part-took-examples = Cost is filament, electricity, wear and work. Prices are examples until your region puts in its own. No payments are handled.
part-took-own-prices = Cost is filament, electricity, wear and work. Prices are your region’s own. No payments are handled.
part-spool-held = Spool: S-{ $number } has enough, but plate { $plate } on { $printer } still has it then. Only one of the two can have it. Buy or bring another spool of { $material }, or start plate { $own } when S-{ $number } is free.
part-spool-held-promised = Spool: the one that is promised has enough, but plate { $plate } on { $printer } still has it then. Only one of the two can have it. Buy or bring another spool of { $material }, or start plate { $own } when that one is free.
part-weak-untested = Nobody has tested it, and a part that nobody has tested can break.
part-weak-bends = In use most parts are bent. Bent at a hole or a notch, a part breaks far sooner than these numbers say.
part-weak-way-lowest = Layers hold least where something pulls them apart: up and down, as it stands. No other way to stand is much lower, so turning it would not help much.
part-weak-way-lower = Layers hold least where something pulls them apart: up and down, as it stands, { $height } mm high. It matters less another way up ({ $way }): { $low } mm high, with its long side along the layers.
