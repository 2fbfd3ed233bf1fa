### sofar

sofar-name = This season so far
sofar-of = { $region }: this season so far
sofar-of-since = { $region }: this season so far. Counted is everything on record since { $day }.
sofar-nothing-yet = Nothing has been handed over yet this season.
sofar-no-whole-part = No part has been handed over whole yet this season.
sofar-title-none = No part counts as handed over yet this season; promises kept: { $kept } of { $ended }.
sofar-title = { $n ->
    [one] { $count } part was handed over this season; promises kept: { $kept } of { $ended }.
   *[other] { $count } parts were handed over this season; promises kept: { $kept } of { $ended }.
}
sofar-lead = Half of the parts were there within { $half } of being sent, nine in ten within { $most }.
sofar-lead-one = The one part so far came in { $time }.
sofar-lead-few = The { $count } parts so far came in { $from } to { $to }.
sofar-lead-few-alike = The { $count } parts so far came in { $time } each.
sofar-lead-nothing = How fast parts came stands here once the first is handed over.
sofar-links-html = <a href="/season.csv">The same as a table (CSV)</a>. <a href="/shares">How evenly teams were served</a>.
sofar-handed-over = Handed over
sofar-parts-copies = { $n ->
    [one] { $n } part, { $copies }
   *[other] { $n } parts, { $copies }
}
sofar-promises = Promises
sofar-kept-broken = { $kept } kept, { $broken } broken, { $over } over and not handed over
sofar-prints = Prints
sofar-of-them-failed = { $n }, of which { $failed } failed
sofar-machine-time = Machine time
sofar-plastic = Plastic
sofar-cost = Cost
sofar-prices-are-examples = Prices are examples until your region puts in its own. Don’t show the cost to anybody as yours.
sofar-unpriced = { $n ->
    [one] One print has no price, or its printer has left the region: it is not in the cost.
   *[other] { $n } prints have no price, or their printer has left the region: they are not in the cost.
}
sofar-wrong-unit = { $n ->
    [one] One copy was handed over in the wrong unit. It is not counted; what it took is.
   *[other] { $n } copies were handed over in the wrong unit. They are not counted; what they took is.
}
sofar-by-month = By month
sofar-by-material = By plastic
sofar-by-school = By school
sofar-by-team = Copies by team
sofar-table = Table: { $title }
sofar-month = Month
sofar-material = Plastic
sofar-school = School
sofar-parts = Parts
sofar-copies = Copies
sofar-kept = Kept
sofar-broken = Broken
sofar-over = Over
sofar-failed = Failed
sofar-grams = Plastic, g
sofar-team-html = { $n ->
    [one] <b>{ $team }</b>: 1 copy, { $percent } %
   *[other] <b>{ $team }</b>: { $n } copies, { $percent } %
}
sofar-meaning = What the numbers mean
sofar-meaning-parts = Parts count once all their copies are handed over. Copies in the wrong unit don’t count.
sofar-meaning-promises = Promises: over are those whose time has passed and whose part was not handed over, or not told so. They count as not kept until they end as kept or broken.
sofar-meaning-fast = How fast: from the minute a part was sent to the hand-over of its last copy.
sofar-meaning-runs = Prints, machine time, plastic and cost are of all prints that ended, failed ones too. A print that nobody saw end, or whose time as noted can’t be right, counts as long as was expected of it. Filament to prime the nozzle is in the cost, not in the grams.
sofar-meaning-cost = Cost is filament, electricity, wear and work, as a range of two models for electricity. No payments are handled.
sofar-meaning-school = A school has the parts and copies of its teams, and the prints of its own bench. Promises are not told by school: some have one team only.
