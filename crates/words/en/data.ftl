### The region’s tables, out and in again

data-title = The region’s tables
data-lead-html = Schools, teams, hosts and printers as files for a spreadsheet, out and in again. <a href="/region">To the region</a>
data-line-by-line = Line by line
data-where = Where
data-which = Which
data-what = What
data-how = How
data-like-this-already = Like this already: { $n }.
data-nothing-moves = No plate would move.
data-see-moves = See what would move
data-not-done-yet = Nothing is done yet.
data-do = Do it
data-was-done = It is done. What was changed stands at the end of this page.
data-put-right = Nothing was changed. Put it right in your file, and choose it again below.
data-out = Take them out
data-columns-html = What stands in its columns<span class="hush">: { $table }</span>
data-get = Get { $name }.csv
data-in = Put one in
data-in-lead = Change the rows in your spreadsheet and save it as CSV UTF-8, with commas. You see what it would change before anything is done.
data-which-table = Which table
data-file = File
data-left-out = What the file leaves out
data-left-out-stays = stays in the region
data-left-out-goes = is taken out of the region
data-show = Show what it would change
data-history = What was changed

data-schools = Schools
data-teams = Teams
data-hours = Hosts and their hours
data-printers = Printers

data-school-code = A short word for the school, such as oak-hill. Other tables name the school by it.
data-school-name = The name that everybody reads.
data-school-x = How far east of the middle of the region, in km. West has a minus.
data-school-y = How far north of the middle, in km. South has a minus.
data-team-name = The team’s name. A new name makes a new team.
data-team-school = The code of the school where the team gets its boxes.
data-host-school = The code of the school that prints.
data-host-bench = Where in the school the printers stand.
data-host-hours = When somebody is at the bench, such as mon-fri 08:15-17:30; sat 09:00-13:00.
data-host-boxing = Minutes from a plate that is off the bed to its closed box.
data-host-starts = Most plates that its people start from opening to closing. Empty: as many as fit.
data-host-no-show = How often nobody comes though the hours say so: 0.05 is 5 times in 100.
data-host-student-run = The word yes if students run this bench with adults responsible. Empty: no.
data-host-adult-for = What students there ask an adult for: unattended, hot-material, battery-area. Empty: all of these; nothing: none.
data-host-spares-on = The day of a meeting, like 2027-03-13, for a bench that prints spares there. Empty: it prints all season.
data-printer-name = The printer’s name. Each name stands once in the region.
data-printer-host = The code of the school where it stands.
data-printer-class = The code of its kind: the size of its bed and what it can do.
data-printer-materials = Codes of the plastics that it prints, such as PLA; PETG.
data-codes = There are: { $codes }.
data-printer-unattended = Who allowed it to run with nobody there, and where that is written. Empty: it may not.
data-printer-start-failure = How often a print fails at its start: 0.02 is 2 in 100.
data-printer-failures = How often a print fails in each hour after that: 0.01 is 1 in 100.
data-printer-sigma = How far times of prints are apart: 0.1 is about 10 in 100.
data-printer-stays = When it stands at another school: code, first day, last day, such as oak-hill 2027-03-08 2027-03-12.
data-printer-battery = The word yes if it stands where batteries are kept or charged. Empty: no.
data-printer-agent = Where its MTConnect agent answers, such as http://10.0.0.5:5000. Empty: it has none.
data-printer-device = The name or uuid that the agent has for it. Empty if it has no agent.
data-printer-at-home = For a printer at such a bench: its name at its own school, where it is away that day. Empty: none.

data-new = new
data-changed = changed
data-taken-out = taken out
data-wrong = wrong
data-not-in-file = It is not in the file.
data-becomes = { $column }: { $was } becomes { $is }
data-nothing = nothing
data-quoted = “{ $text }”
data-line = Line { $n }
data-all-like-this = Every line is like this already. There is nothing to do.
data-lines-wrong =
    Not yet: { $count } { $n ->
        [one] line is wrong
       *[other] lines are wrong
    }.
data-needed = Not like this: something is needed as it is.
data-can-be-done = This can be done: { $counts }.
data-many-new = { $n } new
data-many-changed = { $n } changed
data-many-taken-out = { $n } taken out

data-too-much = That is too much. Choose one file of a table.
data-not-whole = The file did not arrive whole. Send it again.
data-choose-table = Choose the table that it is.
data-choose-file = Choose the file of the table.
data-not-ours = That form was not ours.
data-not-ours-do = Open the page of the region’s tables, and choose the file there.
data-changed-meanwhile = It was not done: the region, or what is needed of it, changed meanwhile. This is what it would do now.

data-plate = Plate { $plate }
data-plate-for = Plate { $plate } ({ $part } for { $team }, request { $request })
data-would-be-late = would come later than promised. Keep what it needs until it is made.
data-made-nowhere = could not be made anywhere. Keep what it needs until it is made.
data-box-on-board = Its box left on { $at } and is to be there on { $by }. Keep the round that takes it until it is.
data-keeps-school = Plate { $plate } is on record for its front desk. Keep the school and its name.
data-request-open = Request { $request } of the team is open, for its school’s desk.
data-team-has-people = People are signed up for it. Erase them on the team’s page first.
data-keeps-desk = Plate { $plate } is on record for its desk. Give a bench for spares a school of its own, and keep it.
data-spare-promised = The spare { $number } is promised for its day. Wait until that is over.
data-host-has-spools = Spools lie on its shelf. Send them on first.
data-host-has-people = People work at its bench. End their roles on the page of people first.
data-timed-for-name =
    { $n ->
        [one] One waiting plate was
       *[other] { $n } waiting plates were
    } timed for another printer of this name. Give it a new name.
data-plate-runs = Plate { $plate } runs on it. Wait until it is off.
data-plate-at-bench = What was printed on it as plate { $plate } has not left its bench yet.
data-made-by = What it printed is on record as made by { $printer }. Keep it.
data-timed-for-class =
    { $n ->
        [one] One waiting plate was
       *[other] { $n } waiting plates were
    } timed for its class. Add it under a new name instead.
data-spool-on-it = A spool is on it. Take it off first.
data-line-wrong = Line { $line }, { $field }: { $what }
data-zone-promised =
    { $n ->
        [one] A promise was given by the clock of the zone as it is. Keep the zone until that promise is over.
       *[other] { $n } promises were given by the clock of the zone as it is. Keep the zone until they are over.
    }
data-would-erase = People of teams would be erased at once. Write a later day, or more keep_people_days.
