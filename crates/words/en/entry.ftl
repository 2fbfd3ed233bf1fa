### Signing in, joining, coming back, links that are used once

entry-password-hint = 12 characters at least: three or four words that you remember are good. No rules beyond that.
entry-nickname-hint = The name that your team sees. Not your real name, please: no surname, no e-mail address, no number.

entry-name-missing = Give a name.
entry-name-long = Give a name of 40 letters at most.
entry-name-personal = Choose a nickname without an e-mail address or a long number in it.
entry-name-of-role = Choose a nickname that is not the name of a role.
entry-nickname-taken = Somebody in your team has that nickname. Choose another. If that was you a moment ago, ask your mentor for a return code.
entry-email-bad = Give an e-mail address, like name@school.example.
entry-email-taken = Somebody signs in with that address already. If it’s you, sign in first and open the link again.
entry-password-short = Choose a password of 12 characters at least.
entry-password-long = Choose a password of 256 characters at most.
entry-password-common = That password is among the first that are tried. Choose another.
entry-password-wrong = That is not the password that you have now.
entry-no-match = That e-mail address and password don’t go together here. Check both. If the password is lost, ask the coordinator for a link to a new one.
entry-no-code = That code doesn’t work. Check it letter by letter, or ask for a new one.
entry-no-role = You have no role here any more. Ask the coordinator.
entry-token-days = Give a number of days from 1 to 366, as a student to 30.
entry-tokens-many = You have 20 already. Stop one that is not used any more.
entry-passkeys-many = You have { $most } passkeys already. Remove one that you need no longer.
entry-passkey-not-kept = That passkey was not added: it came too late, or it is not the one we asked for. Delete it on your device and try again.
entry-no-passkey = You are not signed in: this passkey doesn’t work here. Try again, or sign in with your password.
entry-no-passkeys-here = There are no passkeys at this address. Browsers make them only where the address begins with https:// and a name, or with http://localhost.
entry-role-bad = Choose one from the list.
entry-last-coordinator = The region would have no coordinator left. Invite another one first.
entry-stand-in-day = Choose a day from today on, 60 days away at most.
entry-stand-in-who = Choose an adult from the list. Students and coordinators can’t stand in.

entry-wait-until = There were too many wrong tries. Wait until { $time }, then try again. Nothing is lost.
entry-wait-until-day = There were too many wrong tries. Wait until { $day }, { $time }, then try again. Nothing is lost.

entry-also-join = You are a student and your mentor has a code?
entry-join = Join your team
entry-also-come-back = You have joined before?
entry-come-back-with = Come back with your own code
entry-also-adults = You are a mentor, work at a bench or are the coordinator?
entry-sign-in = Sign in

entry-email = E-mail address
entry-password = Password
entry-sign-in-lead = For mentors, people at a bench and the coordinator.
entry-password-lost = If it is lost, the coordinator makes you a link to a new one.
entry-passkey = Sign in without typing
entry-passkey-what = A passkey is a key on your own device: you sign in with what unlocks it, like your finger, your face or a PIN. You add one on your account page.
entry-passkey-do = Sign in with a passkey

entry-join-lead = All that we keep of you is a nickname.
entry-team-code = Your team’s code
entry-team-code-hint = Eight letters and figures from your mentor. Small letters and dashes don’t matter.
entry-nickname = Your nickname
entry-join-do = Join
entry-joined = You are in: welcome to { $team }.
entry-joined-lead = Write this code down. With it you come back here, on this computer or another. We show it this once.
entry-own-code = Your own code
entry-own-code-keep = Keep it to yourself: whoever has it comes in as you.
entry-own-code-lost = If you lose it, your mentor makes you a new one.
entry-shared-computer = On a shared computer, sign out when you are done; the button is at the foot of every page.
entry-written-down = I have written it down

entry-come-back = Come back
entry-come-back-lead = For students who have joined before.
entry-own-code-hint = Fifteen letters and figures. You got it when you joined. If it is lost, your mentor makes you a new one.

entry-dead-link = This link doesn’t work.
entry-dead-link-why = It was used already, it is over, or it was stopped. Ask for a new one.
entry-invited = You are invited: { $role }
entry-invited-as = You are signed in as { $name }. You keep what you are already.
entry-take-up = Take it up
entry-invited-lead = Have you an account here? Sign in first, and open this link again.
entry-name = Your name
entry-name-hint = As others in the region see it.
entry-email-hint = You sign in with it. We don’t write to you yet.
entry-choose-password = Choose a password
entry-make-account = Make my account
entry-choose-new-password = Choose a new password
entry-new-password-lead = You are signed out everywhere, and sign in with the new one. Your passkeys are removed. Programs and calendars need new tokens.
entry-new-password = New password
entry-keep-password = Keep this password

entry-goes = What goes
entry-stays = What stays, and why
entry-no-undoing-html = This can’t be undone. <a href="{ $href }">Fetch a copy of what is kept</a> first, if you want one.
