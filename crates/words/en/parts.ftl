### parts

parts-sizes = Sizes that must be right
parts-sizes-named = { $n ->
    [one] You named one critical dimension. The bench measures it on each copy; what is outside is reworked or made again.
   *[other] You named { $n } critical dimensions. The bench measures them on each copy; what is outside is reworked or made again.
}
parts-size-html = <b>{ $what }</b>: { $size }. Good { $limits }.
parts-sizes-none = Nothing is measured yet.
parts-sizes-table = Table of measured sizes
parts-piece = Piece
parts-title = { $team }: your parts
parts-send = Send a part
parts-needs = Needs you
parts-looked-at = Being looked at
parts-coming = On the way
parts-coming-none = Nothing here. A part that we have promised you stands here until you hold it.
parts-odds-html = <b>{ $n } in 10</b>
parts-odds-less-html = <b>{ $n } in 10</b>, less sure than the { $promised } in 10 promised
parts-came = Handed over
parts-came-none = Nothing here yet.
parts-withdrawn = Withdrawn
parts-withdrawn-none = Nothing here. Parts you call back will be kept in this place, so you can send them again.
parts-spares-today = Spares are printed today at the { $meeting }: { $at }, { $bench }. { $open } Open the part that you need.
parts-lead-needs = { $n ->
    [one] { $count } part needs something from you.
   *[other] { $count } parts need something from you.
}
parts-lead-looked-at = { $n ->
    [one] { $count } part is looked at first.
   *[other] { $count } parts are looked at first.
}
parts-lead-coming = { $n ->
    [one] { $count } part is on the way.
   *[other] { $count } parts are on the way.
}
parts-lead-next = The next to arrive is the { $part }, { $by }.
parts-lead-none = Nothing is on the way. Send a part, and its promise will be here in a minute.
parts-detail = No. { $number }, { $detail }, sent { $day } { $time }
parts-broken = Pledge broken
parts-not-printed = We promised { $by } and did not print it. We are sorry.
parts-spare-not-printed = We promised { $by }, and { $bench } closed before it was printed. We are sorry.
parts-not-made = Promised and not made
parts-came-on = Came { $day }, { $time }
parts-replaced = Replaced
parts-replaced-text = Another one took its place.
parts-withdrawn-text = You called it back. You can send it again.
parts-newer-sent = { $number } took its place.
parts-stop = Stop { $n } of { $most }: { $stop }
parts-kept = Pledge kept
parts-kept-text = Promised { $by }.
parts-came-late = We promised { $by } and it came { $late } late. We are sorry.
parts-at-risk = At risk
parts-comes-unknown = As things stand we can’t say when it comes.
parts-comes-by = As things stand it comes { $by }.
parts-needs-change = Needs a change
parts-needs-change-text = It can’t be printed as it is. See where, and how to mend it.
parts-held = Looked at first
parts-held-text = The coordinator looks at it before anything is promised.
parts-refused = Refused
parts-refused-text = We don’t print it as it is. See why, and what you can do.
parts-undecided = Nobody decided in time
parts-undecided-text = Nobody looked at it in time, so the answer is no by itself. See what you can do.
parts-taken-down = Taken down
parts-taken-down-text = The coordinator took it down. See why.
parts-not-promised = Not promised yet
parts-not-promised-text = It can be printed, but no day is promised. See what is possible.
parts-size-between = { $size } mm, { $lower } to { $upper }
parts-size-tight = Prints usually hold ± { $usual } mm at this size (our own rule from practice): yours is tighter, so it may take several tries, and no chance that we state counts them. Could you allow more, or drill or file it to size?
parts-size-not-measured = not measured: { $why }
parts-size-not-again = { $size }; not measured again: { $why }
parts-piece-good = Copy { $copy }
parts-piece-held = Copy { $copy }: held, not good yet
parts-piece-scrap = Copy { $copy }, from plate { $plate }: scrap, not made again
parts-piece-again = Copy { $copy }, from plate { $plate }: made again since
parts-piece-again-soon = Copy { $copy }, from plate { $plate }: scrap, to be made again
parts-no-such = There is no part with that number on your list.
parts-only-team = Only the team itself can do that.
parts-use-button = Open the part’s page as its team and use the button there.
parts-open-as-team = Open the part’s page as its team.
parts-no-withdraw = This part can’t be called back any more.
parts-no-withdraw-do = It is being made already, or it has ended. Ask the host, or wait for it.
parts-withdraw-title = Withdraw { $part }?
parts-withdraw-lead = Its place in the plan goes to others, and its promise ends. You can send it again, but the date may be later.
parts-withdraw-go = Withdraw it
parts-withdraw-keep = Keep it
parts-not-in-file = The file has no such part.
parts-no-layers = This part has no layers to show.
