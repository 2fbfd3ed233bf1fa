### client: what scripts say. One line each, without choices: pages hand them on as they stand here.

client-do-now = Do this now
client-done = Done { $time }. Not yet sent
client-failed = Failed { $time }. Not yet sent
client-all-sent = All is sent.
client-not-yet-sent = { $n } not yet sent.
client-unsent = Not yet sent ({ $n })
client-no-network = No network
client-as-it-was = No network. This sheet is as it was at { $time }. Keep working: your ticks are kept here and go out once it’s back.
client-signed-out = You are signed out, or here as somebody else. Your ticks are kept here. Sign in again to send them.
client-some-refused = Some could not be taken. They stay here until you take them off.
client-by-themselves = They go out by themselves.
client-later = We will send it again.
client-sign-in-to-send = Sign in again to send it.
client-refused = It was not taken.
client-sign-in = Sign in again
client-send-now = Send now
client-try-again = Try again
client-take-off = Take it off
client-code-missing = Type the code of the box, or choose why there is none.

client-too-large = { $mm } mm too large
client-too-small = { $mm } mm too small
client-outside = It is { $by }. Rework or scrap?
client-outside-again = It is { $by }. Change it and measure it again, or it is scrap.
client-was-outside = It was outside its limits. Measure it again.
client-measure-it = Measure it, or say why that can’t be done.
client-no-size = “{ $text }” is not a size. Write it like 8.05.

client-layer = { $n } of { $all }
client-layer-height = layer { $n } of { $all }, { $mm } mm above the bed
client-layer-missing = The layer could not be fetched. Move the slider to try again.

client-byte = 1 byte
client-bytes = { $n } bytes
client-file-too-large = { $name } is { $size }, and we take up to 100 MB. Send it with fewer triangles, or in parts.
client-files-too-large = Together these files are { $size }, and we take up to 100 MB at a time. Send them in two goes.

client-the-part = The part
client-keys = { $part }. Arrow keys turn it, with Shift they move it across, plus and minus bring it nearer or farther, 0 puts it back.
client-part-too-large = This part is too large to turn here: its file has more than 25 MB. The picture shows it as it will stand.
client-whole = The part is whole again.
client-cut = Cut at { $mm } mm { $from }.
client-lower-stays = The lower side stays.
client-upper-stays = The upper side stays.
client-left-stays = The left side stays.
client-right-stays = The right side stays.
client-front-stays = The front side stays.
client-back-stays = The back side stays.
client-first-place = Point at the first place.
client-second-place = First point set. Point at the second.
client-nothing-there = Nothing there. Point at the part itself.
client-cleared = Cleared. Point at the first place.
client-apart = { $mm } apart.
client-within = The part is shown with fewer triangles than it has. What you see is within { $mm } mm of it.

client-passkey-not-done = Nothing was done: your device gave no passkey. Try again, or go on with your password.
client-passkey-known = This device has a passkey for you already.
client-passkey-no-answer = We got no answer. Check that you are online and try again.
