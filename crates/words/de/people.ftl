### Leute eines Teams und der Region

people-team-title = { $team }: die Leute des Teams
people-team-lead =
    { $students ->
        [0] Kein Teammitglied
        [one] Ein Teammitglied
       *[other] { $students_word } Teammitglieder
    } und { $mentors ->
        [0] keine Teambegleitung
        [one] eine Teambegleitung
       *[other] { $mentors_word } Teambegleitungen
    }.
people-code-to-join = Der Beitrittscode
people-no-code = Gerade gilt kein Code. Mach einen, und schreib ihn an die Tafel.
people-stop-html = Stoppen<span class="hush">: { $which }</span>
people-make-code = Code machen
people-code-hint = Ein Code gilt { $days } Tage und für { $students } Teammitglieder. Wir zeigen ihn einmal, und behalten nur einen Hash davon.
people-students = Teammitglieder
people-nobody-joined = Noch niemand ist beigetreten.
people-new-return-code-html = Neuer Rückkehrcode<span class="hush"> für { $name }</span>
people-remove-html = Entfernen<span class="hush">: { $name }</span>
people-mentors = Teambegleitungen
people-no-mentor = Das Team hat noch keine Teambegleitung.
people-invite-mentor = Noch eine Teambegleitung einladen
people-team-kept = Was wir vom Team behalten
people-fetch = Eine Kopie davon holen
people-erase-team = Die Leute des Teams löschen
people-student-kept = Von jedem Teammitglied: ein Spitzname und der Hash eines Codes.
people-kept-until = Am { $day } löschen wir die Leute aller Teams. Wer hier noch etwas anderes tut, bleibt.
people-kept-without-end = Die Datei der Region nennt kein Ende der Saison, darum wird niemand von selbst gelöscht: Lösche jedes Team, wenn seine Saison vorbei ist.

people-code-row = Code vom { $made }, gilt bis { $ends }
people-invitation-row = Einladung vom { $made }, gilt bis { $ends }
people-invitation-for-row = Einladung ({ $role }) vom { $made }, gilt bis { $ends }
people-row-uses = { $row }, noch { $uses }-mal benutzbar
people-since = seit { $when }

people-code-of = Der Code von { $team }
people-code-lead = Schreib ihn an die Tafel. Die Teammitglieder öffnen diese Seite, wählen „{ $join }“ und tippen ihn ein. Wir zeigen ihn nur dieses eine Mal.
people-team-code = Der Code des Teams
people-code-works = Er gilt { $days } Tage und für { $students } Teammitglieder.
people-code-stop = Stoppe ihn auf der Seite des Teams, wenn alle dabei sind.
people-back-to-team = Zurück zum Team

people-link-lead = Gib diesen Link selbst weiter: Wir verschicken nichts. Wir zeigen ihn nur dieses eine Mal.
people-link = Der Link
people-link-week = Er geht einmal, und eine Woche lang.
people-link-day = Er geht einmal, und einen Tag lang.
people-link-nobody-else = Gib ihn niemand anderem: Wer ihn zuerst öffnet, hat ihn.
people-mentor-for = Eine Teambegleitung für { $team }

people-new-code-for = Ein neuer Code für { $name }
people-new-code-lead = Gib ihn nur dieser Person. Wir zeigen ihn nur dieses eine Mal.
people-their-code = Der eigene Code
people-new-code-old = Der alte Code geht nicht mehr. Die Person ist überall abgemeldet, und ihre Programme fragen nicht mehr.
people-new-code-type = Sie wählt am Anfang „{ $back }“ und tippt ihn ein.

people-remove-title = { $name } aus { $team } entfernen?
people-remove-goes = Der Spitzname und der eigene Code.
people-remove-goes-team = Dass die Person zum Team gehört, und alle ihre Anmeldungen.
people-remove-stays = Was die Person getan hat, im Protokoll der Region, unter einer Nummer, die zu keinem Namen führt.
people-remove-stays-parts = Die Teile, Anfragen und Zusagen des Teams.
people-remove-do = Entfernen und löschen
people-keep-them = Behalten

people-erase-students =
    { $n ->
        [0] Kein Teammitglied
        [one] Ein Teammitglied
       *[other] { $count } Teammitglieder
    } mit Spitzname, Code und Anmeldungen.
people-erase-mentors =
    { $n ->
        [0] Keine Teambegleitung
        [one] Eine Teambegleitung
       *[other] { $count } Teambegleitungen
    } mit Name, E-Mail-Adresse und Passwort.
people-erase-codes = Jeder Code und jede Einladung des Teams gilt nicht mehr.
people-erase-stay =
    { $n ->
        [0] Keine Teambegleitung tut hier noch etwas anderes und bleibt.
        [one] Eine Teambegleitung tut hier noch etwas anderes. Sie bleibt, begleitet aber dieses Team nicht mehr.
       *[other] { $count } Teambegleitungen tun hier noch etwas anderes. Sie bleiben, begleiten aber dieses Team nicht mehr.
    }
people-erase-requests =
    { $n ->
        [0] Keine Anfrage
        [one] Eine Anfrage
       *[other] { $count } Anfragen
    } des Teams mit Dateien, Zusagen und wie sie endeten, ohne den Namen einer Person: Daraus wird die Saison der Region gezählt.
people-erase-deeds = Was die Leute getan haben, im Protokoll, unter Nummern, die zu keinem Namen führen.
people-erase-team-title = Die Leute von { $team } löschen?
people-erase-all = Alle löschen

people-title = Leute
people-heading = Leute der Region
people-lead =
    { $adults ->
        [0] Niemand Erwachsenes
        [one] Eine erwachsene Person
       *[other] { $adults_word } Erwachsene
    } und { $students ->
        [0] kein Teammitglied
        [one] ein Teammitglied
       *[other] { $students_word } Teammitglieder
    } in { $teams ->
        [0] keinem Team
        [one] einem Team
       *[other] { $teams_word } Teams
    }.
people-left =
    { $n ->
        [0] Noch niemand ist gegangen.
        [one] Eine Person ist gegangen und wurde gelöscht.
       *[other] { $count } sind gegangen und wurden gelöscht.
    }
people-adults = Erwachsene
people-team-erased = Erledigt: Die Leute des Teams sind gelöscht. Seine Teile und Zusagen bleiben vermerkt.
people-alone = { $host }: An der Werkbank ist noch niemand angemeldet, und niemand dort erfährt von einer Platte. Lade jemanden ein.
people-adult-row = { $roles }; seit { $when }
people-adult-row-email = { $roles }, { $email }; seit { $when }
people-no-role = gerade nichts
people-stands-in = vertritt die Koordination bis einschließlich { $day }
people-standing-in = Vertretung
people-end-role-html = Beenden: { $role }<span class="hush"> für { $name }</span>
people-reset-html = Link zu einem neuen Passwort<span class="hush"> für { $name }</span>
people-erase-html = Löschen<span class="hush">: { $name }</span>
people-invite = Jemanden einladen
people-invite-lead = Du bekommst einen Link, der einmal geht, eine Woche lang. Wir verschicken nichts: Gib ihn selbst weiter.
people-as-what = Als was?
people-make-link = Link machen
people-not-taken-up = Noch nicht angenommen
people-away = Während du weg bist
people-away-lead = Jemand kann dich vertreten. Bis zum Ende des letzten Tages sieht und entscheidet diese Person alles, was du siehst und entscheidest. Wer koordiniert und wer vertritt, wählst weiter nur du. Es endet von selbst. „Beenden“ in der Liste oben beendet es früher.
people-who = Wer?
people-last-day = Der letzte Tag
people-let-stand-in = Vertreten lassen
people-name-with-roles = { $name } ({ $roles })
people-teams = Die Teams
people-teams-lead = Teammitglieder sieht die Begleitung ihres Teams. Öffne ein Team, um für es etwas zu tun.
people-students-many =
    { $n ->
        [0] kein Teammitglied
        [one] ein Teammitglied
       *[other] { $count } Teammitglieder
    }
people-programs = Andere Programme
people-programs-told = Programme, die erfahren, was geschieht
people-mail = E-Mail
people-outbox = Der Postausgang: Nachrichten an Erwachsene
people-how-long = Wie lange Leute behalten werden
people-one-link = { $role }: ein Link für eine Person
people-back = Zurück zu den Leuten
people-new-password-for = Ein neues Passwort für { $name }
people-erase-title = { $name } löschen?
people-erase-goes = Name, E-Mail-Adresse und Passwort.
people-erase-goes-roles = Was die Person hier ist, und alle ihre Anmeldungen.
people-erase-do = Löschen

people-not-in-order = nicht in Ordnung: { $problems }
people-too-many-tries = zu viele Versuche
