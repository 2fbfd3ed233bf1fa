### shares

shares-nothing-yet = Nothing has been handed over yet.
shares-one-team = Only one team has been served so far.
shares-too-few = Too little was handed over to say how evenly printing is shared out.
shares-even = Printing is shared out evenly.
shares-fairly-even = Printing is shared out fairly evenly.
shares-uneven = Printing is shared out unevenly.
shares-lead = { $n ->
    [one] { $count } team had something promised so far.
   *[other] { $count } teams had something promised so far.
}
shares-of-copies = Copies handed over
shares-of-hours = Hours of printing
shares-of-filament = Filament
shares-of-waiting = Waiting
shares-region-pays = { $n ->
    [one] The region itself pays for what came out in the wrong unit: { $n } copy, { $hours } hours printed, { $grams } g.
   *[other] The region itself pays for what came out in the wrong unit: { $n } copies, { $hours } hours printed, { $grams } g.
}
shares-all-same = every team got the same
shares-as-if = as uneven as if { $n } of 100 teams had got the same and the others nothing
shares-with-wrong = { $all }, { $wrong } of it in the wrong unit

shares-how-even = How even it is
shares-index-table = Table of the index
shares-of-what = Of what
shares-index = Jain’s index
shares-that-is = That is
shares-team-by-team = Team by team
shares-none = No team has been promised anything yet.
shares-teams-table = Table of teams
shares-team = Team
shares-promises = Promises
shares-copies = Copies handed over
shares-hours = Hours printed
shares-grams = Filament, g
shares-half-within = Half came within
shares-meaning = What the numbers mean
shares-meaning-index = Jain’s index is one number for how even shares are: add up all shares and square the sum; divide by the number of teams times the sum of the squares. It is 1 when every team got the same. With ten teams it is { $least } when one team got everything.
shares-meaning-need = It does not say who needs more. A team that asked for little gets little, and the index falls; look at the table before you judge.
shares-meaning-count = Teams count from their first promise on. Hours are those of plates that came off the bed: a failed run is nobody’s gain.
shares-meaning-wrong = Copies that came out in the wrong unit are not counted as handed over. The region’s file says whether their hours and filament stand in the team’s share.
shares-meaning-half = “Half came within” is the middle time from asking to hand-over.
shares-season-html = What was made, how fast and for how much: <a href="/season">this season so far</a>.
