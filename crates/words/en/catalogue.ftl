### Data files and tables of the region: what is wrong with them, and texts that the program ships.

catalogue-bad-file = the region file can't be read; the reading program’s own words: { $why }
catalogue-twice = '{ $name }' is there twice
catalogue-unknown = { $who } names '{ $what }', which is not there
catalogue-bad-hours = '{ $text }' is not like 'mon-fri 08:15-17:30'
catalogue-out-of-range = { $who }: { $what } is out of range
catalogue-not-taken = { $printer } is of class { $class }, which does not take { $material }

catalogue-what-agent-address = agent address
catalogue-what-agent-device = agent device
catalogue-what-origin = lat_deg or lon_deg
catalogue-what-adult-for = adult_for without student_run
catalogue-what-no-meeting = spares_on, which is not the day of a meeting
catalogue-what-hours-not-on = hours, which are not on the day of spares_on
catalogue-what-with-teams = spares_on at a school with teams
catalogue-what-where-stays = spares_on where a printer stays
catalogue-what-travels = spares_on with a printer that travels
catalogue-what-student-run = spares_on at a bench that students run
catalogue-what-no-home = at_home, which only a printer at a meeting has
catalogue-what-home-at-meeting = at_home, which is at a meeting too
catalogue-what-agent-twice = agent, which the printer at home has
catalogue-what-home-class = at_home, which is of another class
catalogue-what-home-twice = at_home, which is at two benches on one day

catalogue-too-large = the file is larger than 256 kB or has more than 2000 rows
catalogue-not-utf8 = the file is not in UTF-8; save it as CSV UTF-8
catalogue-other-columns = the first row must be: { $columns }; with commas between, not semicolons
catalogue-broken = line { $line } can't be read: look for a quote that is not closed

catalogue-line-has-it = Line { $line } has it already. Keep one.
catalogue-cells = It has { $has ->
    [one] { $has } cell
   *[other] { $has } cells
} and must have { $must }. Put text with commas in quotes.
catalogue-other-school = Another school has this name. Give it a name of its own.
catalogue-needs = { $who } needs “{ $what }”, which would not be there. Change { $who } first.
catalogue-would-be-twice = “{ $name }” would be there twice, as a team, printer or school. Rename one.

catalogue-write-name = Write a name here, on one line, 100 letters at most.
catalogue-write-number = Write a number from { $from } to { $to }, with a point, as in 0.05.
catalogue-write-yes = Write { $word }, or leave it empty.
catalogue-write-code = Write a code of small letters a to z, figures and dashes.
catalogue-write-school = Write the code of a school of the region.
catalogue-write-hours = Write hours like mon-fri 08:15-17:30, several with a semicolon between.
catalogue-write-minutes = Write whole minutes, from 0 to 1440.
catalogue-write-whole = Write a whole number from 1 on, or leave it empty.
catalogue-write-meeting = Write the day of a meeting of the league, like 2027-03-13, or leave it empty.
catalogue-leave-empty = Leave it empty where no students run the bench.
catalogue-write-some-of = Write some of: { $words }. Or { $nothing }, or leave it empty for all.
catalogue-write-host = Write the code of a school that prints for others.
catalogue-write-one-of = Write one of: { $words }.
catalogue-class-takes-not = Its class does not take { $material }. Take it out.
catalogue-write-plastics = Write codes of plastics, with a semicolon between.
catalogue-write-paper = Write which paper allows it, on one line, or leave it empty.
catalogue-write-address = Write the agent’s address like http://10.0.0.5:5000, without a password, or leave both cells empty.
catalogue-write-device = Write the device’s name or uuid at the agent.
catalogue-write-stays = Write a host's code, its first and its last day, as in alder 2027-02-15 2027-02-19; several in order, with a semicolon between.

catalogue-caution-fumes = Heated filament gives off fine particles and vapours. Your site's rules decide the room and the ventilation.
catalogue-caution-styrene = It gives off styrene and many fine particles when heated. Use it only on an enclosed printer whose air is filtered or led out, and only where your site's rules allow it.
catalogue-caution-softens = It softens from about 55 °C: a part left in a hot car can bend.
catalogue-caution-lifts = Large flat parts tend to lift at the corners while they cool.
catalogue-caution-hot = Nozzle and bed are hot. Let them cool as the printer maker says before you touch them.
catalogue-caution-isocyanates = Overheated, it can give off traces of isocyanates. Never go above the temperature on the spool; your site's rules decide the room and the ventilation.

catalogue-class-compact = compact desk printer
catalogue-class-standard = standard open printer
catalogue-class-fast = fast open printer
catalogue-class-large = large open printer
catalogue-class-warm = enclosed printer with a warm chamber

catalogue-sheet-pla-plain = PLA plain, 0.2 mm layers
catalogue-sheet-pla-fine = PLA fine, 0.12 mm layers
catalogue-sheet-pla-coarse = PLA coarse, 0.28 mm layers
catalogue-sheet-pla-strong = PLA strong, 4 walls, three-way inside
catalogue-sheet-petg-plain = PETG plain, 0.2 mm layers
catalogue-sheet-petg-fine = PETG fine, 0.12 mm layers
catalogue-sheet-petg-coarse = PETG coarse, 0.28 mm layers
catalogue-sheet-asa-plain = ASA plain, 0.2 mm layers
catalogue-sheet-tpu-plain = TPU plain, 0.2 mm layers

catalogue-front-desk = { $school }, front desk
catalogue-spares-desk = { $school }, spares
catalogue-meeting-place = { $event }, league meeting
catalogue-one-of-two = { $one } or { $other }

catalogue-prices = prices: { $why }
catalogue-file-unread = { $why }. Write it as the sample file has it.
catalogue-line-has-name = “{ $name }” stands in line { $line } already. Give it a name of its own.
catalogue-write-day = Write a day like 2027-03-13.
catalogue-write-clock = Write a time of day like 15:30.
catalogue-write-weekdays = Write days of the week like mon-fri, or sat.
catalogue-write-later = It must come after { $what }.
catalogue-write-zone = Write a time zone of the IANA list, such as Europe/Stockholm.
catalogue-write-decimals = Write { $n }: { $currency } has so many digits after the point (ISO 4217). Prices are whole numbers of its smallest unit.
catalogue-write-currency = Write three capital letters of ISO 4217, such as EUR.
catalogue-write-origin = Write lat_deg from -85 to 85 and lon_deg from -180 to 180.
catalogue-write-team = “{ $name }” is no team of the region. Write the name of one, or take it out.
catalogue-write-from-one = Write a whole number from 1 on.
catalogue-write-price = “{ $code }” has no price. Add a block [[{ $list }]] with { $field } = "{ $code }", as in the sample file.
catalogue-price-twice = “{ $code }” has a price already. Keep one.
