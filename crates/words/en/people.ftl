### People of a team and of the region

people-team-title = { $team }: the team’s people
people-team-lead =
    { $students_word } { $students ->
        [one] student
       *[other] students
    } and { $mentors_word } { $mentors ->
        [one] mentor
       *[other] mentors
    }.
people-code-to-join = The code to join
people-no-code = No code works at the moment. Make one and write it on the board.
people-stop-html = Stop it<span class="hush">: { $which }</span>
people-make-code = Make a code
people-code-hint = A code works for { $days } days and { $students } students. We show it once, and keep only a hash of it.
people-students = Students
people-nobody-joined = Nobody has joined yet.
people-new-return-code-html = New return code<span class="hush"> for { $name }</span>
people-remove-html = Remove<span class="hush"> { $name }</span>
people-mentors = Mentors
people-no-mentor = The team has no mentor yet.
people-invite-mentor = Invite another mentor
people-team-kept = What is kept of the team
people-fetch = Fetch a copy of it
people-erase-team = Erase the team’s people
people-student-kept = Of each student: a nickname and a hash of a code.
people-kept-until = On { $day } we erase the people of all teams. Who does something else here stays.
people-kept-without-end = The region’s file names no end of the season, so nobody is erased by itself: erase each team when its season is over.

people-code-row = A code of { $made }, works until { $ends }
people-invitation-row = An invitation of { $made }, works until { $ends }
people-invitation-for-row = Invitation ({ $role }) of { $made }, works until { $ends }
people-row-uses = { $row }, { $uses } more can use it
people-since = since { $when }

people-code-of = The code of { $team }
people-code-lead = Write it on the board. Students open this site, choose “{ $join }” and type it. We show it this once.
people-team-code = The team’s code
people-code-works = It works for { $days } days and { $students } students.
people-code-stop = Stop it on the team’s page when all are in.
people-back-to-team = Back to the team

people-link-lead = Hand this link over yourself: nothing is mailed. We show it this once.
people-link = The link
people-link-week = It works once, and for a week.
people-link-day = It works once, and for a day.
people-link-nobody-else = Give it to nobody else: whoever opens it first has it.
people-mentor-for = A mentor for { $team }

people-new-code-for = A new code for { $name }
people-new-code-lead = Give it to them alone. We show it this once.
people-their-code = Their own code
people-new-code-old = The code they had works no more, they are signed out everywhere, and their programs ask no more.
people-new-code-type = They choose “{ $back }” at the start and type it.

people-remove-title = Remove { $name } from { $team }?
people-remove-goes = Their nickname and their own code.
people-remove-goes-team = That they are of the team, and all their sign-ins.
people-remove-stays = What they did, in the log of the region, under a number that leads to no name.
people-remove-stays-parts = The team’s parts, requests and promises.
people-remove-do = Remove and erase
people-keep-them = Keep them

people-erase-students =
    { $count } { $n ->
        [one] student
       *[other] students
    } with nickname, code and sign-ins.
people-erase-mentors =
    { $count } { $n ->
        [one] mentor
       *[other] mentors
    } with name, e-mail address and password.
people-erase-codes = Every code and invitation of the team stops.
people-erase-stay =
    { $count } { $n ->
        [one] mentor who does something else here too stays, and is
       *[other] mentors who do something else here too stay, and are
    } mentor of this team no more.
people-erase-requests =
    The team’s { $count } { $n ->
        [one] request
       *[other] requests
    } with files, promises and how they ended, without a person’s name: the region’s season is counted from them.
people-erase-deeds = What people did, in the log, under numbers that lead to no name.
people-erase-team-title = Erase the people of { $team }?
people-erase-all = Erase them all

people-title = People
people-heading = People of the region
people-lead =
    { $adults_word } { $adults ->
        [one] adult
       *[other] adults
    } and { $students_word } { $students ->
        [one] student
       *[other] students
    } in { $teams_word } { $teams ->
        [one] team
       *[other] teams
    }.
people-left =
    { $n ->
        [0] Nobody has left yet.
        [one] One has left and was erased.
       *[other] { $count } have left and were erased.
    }
people-adults = Adults
people-team-erased = Done: the team’s people are erased. Its parts and promises stay on record.
people-alone = { $host }: nobody is signed up for its bench yet, so nobody there hears of a plate. Invite somebody.
people-adult-row = { $roles }; since { $when }
people-adult-row-email = { $roles }, { $email }; since { $when }
people-no-role = nothing at the moment
people-stands-in = stands in for the coordinator to the end of { $day }
people-standing-in = standing in
people-end-role-html = End: { $role }<span class="hush"> for { $name }</span>
people-reset-html = Link to a new password<span class="hush"> for { $name }</span>
people-erase-html = Erase<span class="hush"> { $name }</span>
people-invite = Invite somebody
people-invite-lead = You get a link that works once, for a week. Nothing is mailed: hand it over yourself.
people-as-what = As what?
people-make-link = Make the link
people-not-taken-up = Not taken up yet
people-away = While you are away
people-away-lead = Somebody can stand in for you. To the end of the last day they see and decide all that you do. Coordinators, and who stands in, stay for you to choose. It ends by itself; “End” in the list above ends it sooner.
people-who = Who?
people-last-day = The last day
people-let-stand-in = Let them stand in
people-name-with-roles = { $name } ({ $roles })
people-teams = Teams
people-teams-lead = Students are shown to the mentors of their team; open a team to act for it.
people-students-many =
    { $count } { $n ->
        [one] student
       *[other] students
    }
people-programs = Other programs
people-programs-told = Programs that are told what happens
people-mail = E-mail
people-outbox = The outbox: messages to adults
people-how-long = How long people are kept
people-one-link = { $role }: a link for one person
people-back = Back to the people
people-new-password-for = A new password for { $name }
people-erase-title = Erase { $name }?
people-erase-goes = Name, e-mail address and password.
people-erase-goes-roles = What they are here, and all their sign-ins.
people-erase-do = Erase

people-not-in-order = not in order: { $problems }
people-too-many-tries = too many tries
