### season

season-close-title = Close schools for a while
season-close-lead = For snow, a holiday, or a power cut. You see what it would do before it is done.
season-all-day = { $day }, all day
season-days = { $first } to { $last }
season-clocks = { $day }, { $from } to { $until }
season-to-day-end = { $day }, { $from } to the end of the day
season-day-time = { $day }, { $time }
season-times = { $from } to { $until }
season-all-schools = all schools
season-none-moves = No plate would move.
season-plates-move = { $n ->
    [one] { $count } plate would move.
   *[other] { $count } plates would move.
}
season-runs-go-on = What runs goes on; it is taken off when somebody is there again.
season-run-stopped = Plate { $plate } ({ $label }) runs now and may not run alone: it would be stopped, and what is on it lost.
season-other-runs-go-on = What else runs goes on; it is taken off when somebody is there again.
season-choose-schools = Choose the schools that are closed.
season-say-why = Say why in a few words.
season-give-first = Give the first day.
season-give-last = Give the last day, or leave it empty.
season-give-time = Give a time like 12:30, or leave it empty.
season-ends-before = It ends before it begins. Give a later day or time.
season-is-over = That is over. Give a day that’s still to come.
season-close = { $n ->
    [one] Close it
   *[other] Close all { $count }
}
season-not-done = Not done yet: this is what it would do
season-was-not-done = It was not done: the plan has changed meanwhile. This is what it would do now.
season-was-closed = Done: it is closed, and the plan has changed with it. Whose promise is touched is told.
season-was-opened = Done: it is open again, and the plan has changed with it.
season-decide-there = Open the page of closures and decide there.
season-open-again = Open again
season-open-again-title = Open again what was closed?

season-see-moves = See what would move
season-nothing-done = Nothing is done yet. Promises stay on record as they were given.
season-closed-now = Closed now or soon
season-none-closed = Nothing. Closed days of the whole region stand in its file.
season-open-this-html = Open again<span class="hush">: { $when }, { $what }</span>
season-change-it = Change it
season-what-is-closed = What is closed?
season-schools-print = Schools that print
season-all-hosts = All that print
season-whole-region = All schools of the region
season-others = Other schools
season-schools-get = Schools that only get boxes
season-first-day = First day
season-from-time = From what time
season-from-time-hint = Empty: from the start of the day.
season-last-day = Last day
season-last-day-hint = Empty: that one day.
season-until-time = Until what time
season-until-time-hint = Empty: until the end of the day.
season-why = Why
season-why-hint = Everybody in the region may read it. Name no person.
season-show = Show what it would do

season-no-end = The region’s file names no end of the season.
season-ends-on = The season ends on { $day }.
season-title = The season, week by week
season-goes = { $name }: { $days }; leaves at { $leaves }, there at { $arrives }
season-goes-next-day = { $name }: { $days }; leaves at { $leaves }, there on its next day at { $arrives }
season-no-rounds = No rounds.
season-rounds-shut = All rounds go, but none calls where it is closed.
season-rounds-usual = All rounds go as usual.
season-only = { $name }: { $days } only.
season-not-at-all = { $name }: not at all.
season-closed-day = { $schools } closed, { $day }: { $what }
season-meeting-day = { $what }, { $day }: boxes are handed over by { $time }
season-ends-day = { $day }: the season ends
season-usual = Rounds and relays, as usual
season-no-usual = There are none.
season-week-by-week = Week by week
season-this-week = This week: { $week }
season-more-html = <a href="/region/closed">Close schools for a while</a>. Your own calendar can show these days too: make a link on <a href="/account">your account page</a>.
