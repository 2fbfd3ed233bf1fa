### recalls

recalls-title = Recall copies
recalls-lead = When a printer has drifted, or an old file was printed. You see which copies it is about before anything is done.
recalls-waits = { $n ->
    [one] { $count } copy waits to be checked.
   *[other] { $count } copies wait to be checked.
}
recalls-still-made = Nothing can be checked yet: it is still being made.
recalls-was-lifted = This recall was lifted.
recalls-nothing-left = Nothing is left to be checked.
recalls-recalled = { $what } Recalled { $day } at { $time }.
recalls-day-time = { $day }, { $time }
recalls-made-on = Made on { $printer } from { $from } until { $until }.
recalls-made-of = Made of the file of part { $number }, which part { $newer } has replaced.
recalls-because-printer = { $n ->
    [one] The printer { $printer } was not right when it was made.
   *[other] The printer { $printer } was not right when they were made.
}
recalls-because-file = { $n ->
    [one] It is of an older file; part { $newer } has the newer one.
   *[other] They are of an older file; part { $newer } has the newer one.
}
recalls-measure = Look closely: measure what must fit, look for gaps between the layers, bend it a little.
recalls-made-again = What is not good is made again, with the promise that it had if that is still open.
recalls-not-made-again = What is not good is not made again.
recalls-not-of-old-file = What is not good is not made again of the old file: part { $newer } has the newer one.
recalls-first-now = Answer for the first reason now. The next is asked after it.
recalls-at-host = { $n } at the host
recalls-in-box = { $n } in a box
recalls-on-the-way = { $n } on the way
recalls-with-team = { $n } with the team
recalls-being-made = { $n } still being made
recalls-good = { $n } checked and good
recalls-bad = { $n } checked and not good
recalls-need-not = { $n } need not be checked
recalls-gone = { $n } scrap, lost or made again
recalls-counts = { $n ->
    [one] { $n } copy: { $counts }.
   *[other] { $n } copies: { $counts }.
}
recalls-stay = Those that no team has yet stay where they are: their boxes don’t leave, and the bench checks each copy.
recalls-teams-told = Teams that have some are told not to use them until somebody has checked them. They say what they found.
recalls-later = What comes off the bed later, and is of this too, is recalled then.
recalls-making-and-later = Those still being made are checked once they are off the bed and good. What comes off later, and is of this too, is recalled then.
recalls-goes-out = { $printer } is out of use until { $until }. What is planned on it goes elsewhere.
recalls-prints-on = { $printer } prints on. What starts on it after { $until } is not recalled.
recalls-copies = { $n ->
    [one] { $count } copy
   *[other] { $count } copies
}
recalls-verdict = { $n ->
    [one] { $copies } of { $count } part would be recalled: { $counts }.
   *[other] { $copies } of { $count } parts would be recalled: { $counts }.
}
recalls-not-done = Not done yet: this is what it would do

recalls-nothing-is-done = Nothing is done yet.
recalls-do = Recall these copies
recalls-open = Open recalls
recalls-none-open = No recall is open.
recalls-drifted = A printer has drifted
recalls-drifted-lead = It is about every copy that is good, or still being made, of a plate that ran on it at any moment of that time.
recalls-printer = Printer
recalls-choose-one = Choose one
recalls-from-day = From which day
recalls-from-time = From what time
recalls-from-time-hint = Empty: from the start of the day.
recalls-until-day = Until which day
recalls-until-time = Until what time
recalls-until-time-hint = Empty: until the end of the day.
recalls-out = Does the printer go out of use?
recalls-out-hint = As long as it prints, it may make more that has to be recalled. What runs on it now goes on.
recalls-out-yes = Yes, out of use until
recalls-out-no = No, it prints on
recalls-show = Show which copies
recalls-old-file = An old file was printed
recalls-old-file-lead = It is about every copy that is good, or still being made, of a part whose file a newer one has replaced.
recalls-number = The number of the part with the old file
recalls-ended = Ended recalls
recalls-all = All recalls
recalls-part-by-part = Part by part
recalls-lift-title = Lift it
recalls-lifting = What nobody has checked yet is as it was: boxes may go, and teams are told that they may use what they have. What is made again already stays so.
recalls-lift = Lift this recall

recalls-out-missing = Say whether the printer goes out of use.
recalls-give-number = Give the number of a part, such as 7.
recalls-choose-printer = Choose the printer.
recalls-give-time = Give a time such as 14:30, or leave it empty.
recalls-give-first-day = Give the day from which it had drifted.
recalls-give-last-day = Give the last day on which it had drifted.
recalls-not-to-come = Give a time that is not still to come.
recalls-end-after-start = Give an end that comes after the start.
recalls-error-do = { $error }. { $todo }
recalls-no-copy-of-part = No copy of that part is there to be recalled. Look at its number. What was recalled before is not recalled twice.
recalls-no-copy-then = No copy is there to be recalled. Look at the printer and the times. What was recalled before is not recalled twice.
recalls-no-such = There is no such recall.
recalls-nothing-said = Nothing was said.
recalls-use-buttons = Go back and use one of the buttons.
