### One’s own account: roles, browsers, password, programs, leaving

account-title = Your account
account-name = Name that others see
account-nickname = Nickname
account-email = E-mail address to sign in with
account-roles = What you are here
account-worn = now
account-change-over-html = Change over<span class="hush"> to: { $role }</span>
account-no-such-role = There is no such role here.
account-choose-role = Choose one on your account page.

account-sign-ins = Where you are signed in
account-sign-in = Since { $since }, last used { $used }, { $role }
account-this-browser = this browser
account-sign-out-there-html = Sign out there<span class="hush">: { $which }</span>
account-lasts-adult = A browser is signed out after 12 hours without use, and after a week in any case.
account-lasts-student = A browser is signed out after 45 minutes without use, and after 8 hours in any case.
account-when = { $day } at { $time }

account-mail = What we send you
account-mail-page-html = Everything is on <a href="/notices">the page of your notices</a>.
account-mail-on = By e-mail you get what you choose here, never between 20:00 and 7:00.
account-mail-off = E-mail is off on this server, so nothing is sent. Your choice counts from the day it is on.
account-mail-want = By e-mail I want
account-mail-none = Nothing
account-mail-digest = One message in the morning, when there is something new
account-mail-urgent = One message in the morning, and at once what is urgent
account-mail-keep = Keep this choice
account-mail-choose = Choose what we send you by e-mail.
account-mail-chosen = What you get by e-mail is written down.

account-password = Another password
account-password-now = Password now
account-password-then = You are signed out everywhere else, your passkeys are removed, and your programs and calendars need new tokens.
account-password-change = Change the password
account-password-changed = Your password is changed. You are signed out everywhere else, your passkeys are removed, and your programs and calendars need new tokens.

account-passkeys = Passkeys
account-passkeys-what = A passkey is a key on your own device: you sign in with what unlocks it, like your finger, your face or a PIN. Your password works as before.
account-passkey-used = added { $added }, last used { $used }
account-passkey-unused = added { $added }, not used yet
account-passkey-remove-html = Remove it<span class="hush">: { $which }</span>
account-passkey-no-script = This browser can’t add a passkey here: it is too old, or scripts are off.
account-passkey-add = Add a passkey
account-passkey-name = What you call it
account-passkey-name-hint = The device that it is on, like “School laptop”, so that you know which to remove.
account-passkey-password-hint = So that nobody else adds one while you are away. Then your device asks you.
account-passkey-added = Your passkey is added. Next time you can sign in with it.

account-programs = Programs and calendars
account-programs-lead = A program can ask in your name, and a calendar can show what is planned.
account-programs-how = How programs ask
account-stop-html = Stop it<span class="hush">: { $which }</span>
account-token-name = A name for it
account-token-name-hint = Where it is used, so that you know which to stop.
account-token-kind = What for
account-token-program = A program
account-token-calendar = A calendar
account-token-role = In which role
account-token-days = Days until it ends
account-token-make = Make it
account-token-for-program = for a program, { $role }, last used { $used }, ends { $ends }
account-token-for-program-unused = for a program, { $role }, not used yet, ends { $ends }
account-token-for-calendar = for a calendar, { $role }, last used { $used }, ends { $ends }
account-token-for-calendar-unused = for a calendar, { $role }, not used yet, ends { $ends }
account-token-made = It is made.
account-token = The token
account-token-copy = Copy it into your program. We show it this once.
account-calendar = The calendar’s address
account-calendar-copy = Give it to your calendar as an address to subscribe to. We show it this once.
account-token-keep = Keep it to yourself: whoever has it reads, or does, what your role can.
account-token-lost = If it gets lost, stop it on your account page and make another.
account-copied = I have copied it

account-kept = What we keep of you
account-kept-adult = Your name, your e-mail address, a hash of your password, your passkeys, what you are here, your language, where you are signed in, and what we told you in the last 60 days. The log of the region knows you by a number.
account-kept-student = Your nickname, your team, a hash of your own code, your language, where you are signed in, and what we told you in the last 60 days. No real name, no e-mail address. The log of the region knows you by a number.
account-fetch = Fetch a copy of it
account-leave = Leave and have it erased

account-stays-log =
    { $count } { $n ->
        [one] entry
       *[other] entries
    } in the log of the region, under a number that leads to no name: what was printed and promised must stay true for everybody else.
account-stays-parts = The team’s parts, requests and promises, as the team’s: others planned with them.
account-goes-adult = Your name, your e-mail address, your password and your passkeys.
account-goes-adult-roles = What you are here, all your sign-ins, and what we told you.
account-goes-student = Your nickname and your own code.
account-goes-student-team = That you are of the team, all your sign-ins, and what we told you.
account-leave-title = Leave, and have your data erased?
account-leave-do = Leave and erase
account-stay = Stay
