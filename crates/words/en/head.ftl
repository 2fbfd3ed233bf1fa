### What the head and foot of every page say, and pages of trouble

head-skip = Skip to the main part
head-pages = Pages
head-notices = Notices
head-new = new
head-account = Your account
head-sign-out = Sign out
head-sign-in-or-join = Sign in or join
head-caution = Everything here is planning information. Your school’s rules, local codes and the makers’ instructions come first, and parts are untested: try them behind a guard.

head-your-parts = Your parts
head-send = Send a part
head-run-sheet = Run sheet
head-run-sheets = Run sheets
head-plates = Plates
head-spools = Spools
head-region = Region
head-review = Review
head-promises = Promises
head-shares = Shares
head-people = People
head-start = Start
head-your-team = Your team
head-crew = Crew
head-how = How it works

head-student-of = student of { $team }
head-mentor-of = mentor of { $team }
head-at-bench-of = at the bench of { $school }
head-coordinator = coordinator
head-coordinator-of = { $region }, coordinator
head-bench-of = { $school } bench
head-you-are = You are { $name }, { $role }.
head-not-signed-in = You are not signed in.
head-made = { $day }, { $time }

head-sentence = { $text }.
head-changed-meanwhile = That has changed meanwhile.
head-not-found = We can’t find that.
head-not-now = We can’t do that just now.
head-that-is-for = That is for { $who }.
head-comes-first = Something else comes first.
head-plan-refused = We made a plan that breaks a rule, and did not keep it.
head-not-here-do = It may have been typed wrongly, or it belongs to somebody else.
head-no-file = There is no such file.
head-no-page = There is no such page.
head-other-site = That did not come from this site.
head-other-site-do = Open Partpledge in this browser and use its own buttons.
head-not-asked-here = That can’t be asked for here.
head-not-asked-here-do = Use the links and buttons of our pages.
head-not-for-you = This is not for you as { $role }.
head-not-for-you-do = If you hold another role, change over to it on your account page.
head-no-tongue = We don’t speak that language.
head-no-tongue-do = Choose one at the foot of any page.
head-unread = We can’t read what was sent.
head-unread-do = Something in it is far too long, or the page was an old one. Load the page again and try once more. Nothing was kept.
head-waiting = waiting
