### notices

notices-when = { $day } at { $clock }
notices-comma = { $before }, { $next }
notices-then = { $before } { $next }
notices-number = { $n }

notices-title-all-seen = You have seen all your notices
notices-title-new = { $n ->
    [one] { $count } new notice
   *[other] { $count } new notices
}
notices-elsewhere-html = { $n ->
    [one] You also have { $count } new notice as { $role }. <a href="/account">Change over</a> to read them.
   *[other] You also have { $count } new notices as { $role }. <a href="/account">Change over</a> to read them.
}
notices-newer = These are the oldest that you have not seen. Say that you have seen them, and the { $n ->
    [one] newer one comes
   *[other] { $n } newer ones come
}.
notices-seen = I have seen them
notices-none = Nothing here. When something happens that matters to you, we write it down in this place.
notices-new = New:
notices-open-html = Open<span class="hush">: { $text }</span>
notices-older = { $n ->
    [one] There is { $n } older one, which is not shown.
   *[other] There are { $n } older ones, which are not shown.
}
notices-kept = Notices are kept for { $n } days. What you did yourself is not among them, unless it changes who can get into your account.

notices-you-stand-in = You stand in for the coordinator to the end of { $day }. You see and decide what they do.
notices-someone-stands-in = Someone stands in for the coordinator to the end of { $day }. They see and decide what a coordinator does.

notices-passkey-added = A passkey was added to your account on { $when }. If that was not you, choose a new password on your account page now. It takes off all passkeys and signs you out in all other places. If you can’t get in, ask a coordinator for a link.
notices-passkey-removed = A passkey was taken off your account on { $when }. If that was not you, choose a new password on your account page now. It signs you out in all other places. If you can’t get in, ask a coordinator for a link.
notices-password-changed = The password of your account was changed on { $when }. All passkeys were taken off, and all tokens were stopped. If that was not you, ask a coordinator now for a link to a new password. It signs out whoever got in.
notices-token-made = A token for a program was made in your name on { $when }. If that was not you, choose a new password on your account page now. It stops all tokens and signs you out in all other places.
notices-token-made-student = A token for a program was made in your name on { $when }. If that was not you, stop it on your account page. Then ask your mentor for a new return code: it signs out whoever got in.
notices-calendar-made = A secret address of your calendar was made on { $when }. If that was not you, choose a new password on your account page now. It stops the address and signs you out in all other places.
notices-calendar-made-student = A secret address of your team’s calendar was made in your name on { $when }. If that was not you, stop it on your account page. Then ask your mentor for a new return code: it signs out whoever got in.

notices-comes = Now it should come by { $at }.
notices-comes-to = Now it should come by { $at }, to { $place }.
notices-comes-unknown = We can’t say yet when it comes.

notices-bench-plate = plate { $plate } at { $start } on { $printer }
notices-bench-new = New on your bench today: { $plates }.
notices-bench-moved = Plate { $plate } is not for your bench today. It is now planned for { $start }.
notices-bench-off = Plate { $plate } is off the plan. Don’t start it.
notices-programs-plate = plate { $plate } at { $start }
notices-programs-wanted = We have no program yet for what you start today: { $plates }. With it we know the time better.
notices-look-at = { $n ->
    [one] At the bench of { $host }, { $n } deed waits for an adult. As far as we were told, nobody who was there may do it alone. Go there soon. Look if all is well, then say so on the Crew page.
   *[other] At the bench of { $host }, { $n } deeds wait for an adult. As far as we were told, nobody who was there may do them alone. Go there soon. Look if all is well, then say so on the Crew page.
}
notices-spool-most = No spool here has more than { $grams } g.
notices-spool-none = There is no spool of it here.
notices-spool-short = Plate { $plate } starts at { $start } and needs { $grams } g of { $material }. { $has }
notices-stop-by = Plate { $plate } on { $printer } won’t be done when people leave { $at }, and nobody has permitted { $printer } to run alone. Stop it by then, let it cool, and say how it went. It is planned again.
notices-stop-now = Stop plate { $plate } on { $printer } now and let it cool: it won’t be done when people leave. What is on it is made again.
notices-bench-closed = { $school } is closed from { $from } to { $until }: { $reason }. Plates that were to be made then move. What runs goes on, and is taken off when somebody is there again.

notices-may-be-late = “{ $part }” may be late. We promised it for { $promised }. { $now } The cause: { $why }.
notices-may-be-late-no-cause = “{ $part }” may be late. We promised it for { $promised }. { $now }
notices-at-risk = The promise for part { $number }, “{ $part }” of { $team }, is at risk. It was for { $promised }. { $now } The cause: { $why }.
notices-at-risk-no-cause = The promise for part { $number }, “{ $part }” of { $team }, is at risk. It was for { $promised }. { $now }
notices-decide = Part { $number }, “{ $part }” of { $team }, waits for you. Say if it may be made.
notices-appealed = { $team } ask you to look again at part { $number }, “{ $part }”.
notices-reported = Someone says that part { $number }, “{ $part }” of { $team }, should not be here. Look at it soon.
notices-undecided = Part { $number }, “{ $part }” of { $team }, still waits for you. If no one says by { $closes } if it may be made, the answer is no.
notices-doubt-gone = Box { $share }, with “{ $part }” of { $team }, may be lost: nobody can find it. Say if we make it again.
notices-doubt-never-came = Box { $share }, with “{ $part }” of { $team }, may be lost: it left, and it has not come. Say if we make it again.
notices-doubt-wrong-parts = Box { $share }, with “{ $part }” of { $team }, may have other parts in it. Say if we make it again.

notices-packed-some = { $n ->
    [one] { $n } of { $of } copies of “{ $part }” is in a box at { $host }.
   *[other] { $n } of { $of } copies of “{ $part }” are in a box at { $host }.
}
notices-packed-one = “{ $part }” is ready. Your copy is in a box at { $host }.
notices-packed-all = “{ $part }” is ready. All { $of } copies are in a box at { $host }.
notices-packed-last = “{ $part }” is ready. All { $of } copies are packed, the last at { $host }.
notices-ready-promised = It is promised for { $at }, at { $place }.
notices-ready-goes = It goes to { $place }.
notices-left = A box with “{ $part }” is on its way to { $place }.
notices-not-gone = A box with “{ $part }” did not go. { $why } { $now }
notices-hitch-no-courier = The courier did not come.
notices-hitch-not-ready = It was not ready in time.
notices-hitch-left-behind = It was not taken along.
notices-hitch-nobody-came = Nobody came for it.
notices-again-gone = Nobody can find a box with “{ $part }”. We make what was in it again. Open it to see when.
notices-again-never-came = A box with “{ $part }” left and did not come. We make it again. Open it to see when.
notices-again-wrong-parts = Your box with “{ $part }” had other parts in it. We make yours again. Open it to see when.
notices-box-found = The box with “{ $part }” was found. It goes on its way.
notices-box-right = Someone looked at your box with “{ $part }”. The right parts are in it.
notices-handed-over = “{ $part }” is with your team now.
notices-handed-over-late = “{ $part }” is with your team now. It came later than we promised. We are sorry.
notices-some-handed-over = Your team has a box with “{ $part }” now. The other copies come later.
notices-not-handed-over = A box with “{ $part }” is not with your team after all. We told you too soon.

notices-recalled = We recall “{ $part }”: it may not be right.
notices-recalled-have = { $n ->
    [one] Your team has one copy. Do not use it until somebody has checked it. Then tell us on the part’s page.
   *[other] Your team has { $n } copies. Do not use them until somebody has checked them. Then tell us on the part’s page.
}
notices-recalled-held = { $n ->
    [one] We keep one copy here and check it first.
   *[other] We keep { $n } copies here and check them first.
}
notices-recall-lifted = “{ $part }” need not be checked any more. You may use what you have of it.
notices-recall-good = We checked our copies of “{ $part }”. They are good.
notices-recall-bad = We checked our copies of “{ $part }”. They are not good. Open it to see what comes instead.
notices-check-recalled = { $n ->
    [one] Check one copy of “{ $part }” at your bench: plate { $plates }. Until then no box with it may go.
   *[other] Check copies of “{ $part }” at your bench: plate { $plates }. Until then no box with it may go.
}
notices-checked-good = Recalled copies of part { $number }, “{ $part }” of { $team }, were checked. They are good.
notices-checked-bad = Recalled copies of part { $number }, “{ $part }” of { $team }, were checked. They are not good.

notices-promised = “{ $part }” is promised. You have it by { $at }, at { $place }.
notices-needs-change = “{ $part }” needs a change before we can print it. Open it to see what to do.
notices-waits = “{ $part }” waits. Someone looks at it first. There is nothing to do for you.
notices-waits-long = No one has looked at “{ $part }” yet. We have asked once more. If no one says by { $closes } if it may be made, the answer is no. You may send it again then.
notices-waits-long-again = No one has looked at “{ $part }” a second time yet. We have asked once more. If no one does by { $closes }, it stays a no.
notices-not-decided = “{ $part }” is not made: no one said in time that it may be. It is not your fault. Open it to see what you can do.
notices-not-decided-again = No one has looked at “{ $part }” a second time. It stays a no. Talk with your mentor.
notices-passed = We looked at “{ $part }”. It can be made. Open it to see when.
notices-refused = We looked at “{ $part }” and don’t make it. Open it to see why.
notices-taken-down = “{ $part }” was taken down. Open it to see why.
notices-called-back = Someone in your team called “{ $part }” back. It will not be made.
notices-spare-not-made = “{ $part }” was not printed before the bench at { $place } closed. We did not keep our promise. If you still need it, open it and ask for it again.
notices-spare-not-all-made = “{ $part }” was not all printed before the bench at { $place } closed. We did not keep our promise. If you still need it, open it and ask for it again.
notices-printing = “{ $part }” is being printed now, on { $printer } at { $host }.
notices-in-time-again = “{ $part }” should be in time after all: by { $promised }, at { $place }.


