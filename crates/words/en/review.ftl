### review

review-not-asked = Not asked.
review-by-host = a host
review-by-team = a student of the team
review-by-mentor = the team’s mentor
review-by-local = somebody at the server
review-by-server = the server
review-by-coordinator = the coordinator
review-reason-words = { $reason } “{ $words }”
review-words = “{ $words }”
review-did-stated = { $who } sent it and stated
review-did-held-by-hand = { $who } held it for review
review-did-held = { $who } sent it, and it was held for review
review-did-passed = { $who } let it through
review-did-refused = { $who } refused it
review-did-appealed = { $who } asked for a second look
review-did-reported-mine = { $who } said: this is mine
review-did-reported = { $who } said that it should not be here
review-did-kept-up = { $who } looked at a report and left it
review-did-taken-down = { $who } took it down
review-did-declined = { $who } does not make a plate of it
review-did-over-limit = { $who } asked for more than the limit
review-did-leg-missed = { $who } said that its box did not go
review-did-box-doubted = { $who } said that something is wrong with a box
review-did-box-again = { $who } had what was in a box made again
review-did-box-right = { $who } said that a box was found, or is right
review-did-recalled = { $who } recalled copies of it
review-did-recall-good = { $who } checked recalled copies: they are good
review-did-recall-bad = { $who } checked recalled copies: they are not good
review-did-recall-lifted = { $who } lifted a recall
review-did-wrong-unit = { $who } said that it came out in the wrong unit
review-note = { $did }, { $day } at { $time }.
review-note-why = { $did }, { $day } at { $time }: { $why }
review-guess-all = The region looks at every request of this team.
review-guess-person = It was held by hand.
review-guess-word = Its name holds the word “{ $word }”.
review-guess-copies = It asks for { $n } copies.
review-guess-size = It is { $size } mm long.
review-guess-before = Request { $number }, with the same file or of the same part, was refused or taken down.
review-box-why = Box { $share }. { $why }
review-appealed = The team has appealed: { $why }
review-reported = Reported. { $why }
review-taken-down = Taken down.
review-refused = Refused.
review-refused-for-good = Refused for good.
review-undecided = Nobody decided in time: the answer was no by itself.
review-nothing-waits = Nothing waits for your review.
review-waits = { $n ->
    [one] { $count } part waits for your review.
   *[other] { $count } parts wait for your review.
}
review-lead = A program only guesses; you decide. Nothing is promised for a part before that, and the team waits, so answer within a day.
review-held-title = Held
review-held-none = No part is held.
review-reported-title = Reported
review-reported-none = Nobody has reported a part.
review-boxes-title = Boxes
review-boxes-none = Nobody says that a box is lost or wrong.
review-decided-title = Decided lately
review-decided-none = Nothing was refused or taken down.

review-see-whole-part = See the whole part
review-cannot-draw = We can’t draw this part just now.
review-about-it = About it
review-why-here = Why it is here
review-only-guesses = These are guesses of a program. You decide.
review-somebody-reported = Somebody reported it
review-may-stay = It may stay
review-box = Box { $plate }
review-make-again-html = Make it again<span class="hush">: box { $plate }</span>
review-box-is-right-html = It was found, or is right<span class="hush">: box { $plate }</span>
review-said-and-decided = What was said and decided
review-your-decision = Your decision
review-final = The team has appealed. This decision is final, and the team is told so.
review-passing = We promise the earliest day that holds as soon as you let it through.
review-let-through = Let it through
review-or-refuse = Or refuse it. Why?
review-your-words-html = In your words, for the team <span class="quiet">(you may leave this empty)</span>
review-words-hint = At most { $most } letters. No names of people.
review-refuse = Refuse it
review-hold = Hold it
review-holding = Nothing is promised for it yet. Held, it waits until you have looked at it.
review-hold-it = Hold it for review
review-take-down = Take it down
review-taking-down = Then nobody but you sees or downloads its files, plates that have not been started leave the plan, and its promise ends.
review-take-part-down = Take this part down
review-why = Why?

review-is-down = It was taken down: only you see its files.
review-is-held = Nothing is promised before you have decided.
review-is-refused = It was refused.
review-is-undecided = Nobody decided in time, so the answer was no by itself.
review-is-ready = It can be printed, and nothing is promised yet.
review-is-promised = It is promised.
review-is-over = There is nothing to decide.
review-fact-team = Team
review-fact-copies = Copies
review-fact-plastic = Plastic
review-fact-size = Size
review-fact-file = File
review-fact-sender = The sender says
review-said-mine = “This is mine.” { $why }
review-said-not-here = “This should not be here.” { $why }
review-runs = { $n ->
    [one] Plate { $plates } runs already: call its host if it should stop.
   *[other] Plates { $plates } run already: call their hosts if they should stop.
}
review-box-stays = Box { $share } is at { $host }: taken down, it stays there.
review-box-has-left = Box { $share } has left { $host }: taken down, it is handed to nobody. Call { $place }.
review-same-file-own = The team’s parts with the same file go with it: { $numbers }.
review-same-file-others = Other teams sent the same file; these stay, so look at them too: { $numbers }.
review-decide-there = Open the review page and decide there.
review-moved = Somebody said or decided something about it meanwhile.
review-moved-do = Nothing was changed. Open the review page again and look.
review-no-day = You let it through, but no day can be promised.
review-no-day-why = { $error }. { $todo } The team sees it, and what else is possible.
review-choose-why = Choose why.
review-too-long = Use at most { $most } letters; these are { $n }.

review-reason-weapon = It looks like a weapon.
review-reason-hurts = It could hurt somebody.
review-reason-school = It does not fit a school.
review-reason-unclear = We can’t tell what it is.
review-reason-robotics = It is not for robotics.
review-reason-not-theirs = It is not the team’s to copy.
review-reason-undecided = Nobody decided about it in time.
review-todo-weapon = Change it so that it looks like the tool or part that it is.
review-todo-hurts = Round off points and edges, or cover them, and send the changed file.
review-todo-school = Talk with your mentor about what you need it for.
review-todo-unclear = Give it a name that says what it is, or tell us in an appeal.
review-todo-robotics = Tell us what it does on your robot, or have it made elsewhere.
review-todo-not-theirs = Draw your own, find one with a licence that allows it, or ask its maker.
review-todo-undecided = Tell your mentor. You may send it again whenever you like.
review-decline-hands = Nobody here has time for it.
review-decline-machine = Our printer or plastic is not up to it.
review-decline-unwilling = We don’t want to make this part.
review-decline-other = Another reason.
review-claim-own = We drew it ourselves.
review-claim-licence = It has a licence that lets us print it.
review-claim-permission = The person who made it told us that we may.
review-recalls = Recalls to be checked
review-recalls-wait = { $n ->
    [one] { $count } recall is still to be checked.
   *[other] { $count } recalls are still to be checked.
}
