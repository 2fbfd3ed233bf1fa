### season

season-close-title = Schulen für eine Weile schließen
season-close-lead = Bei Schnee, an einem Feiertag oder bei Stromausfall. Du siehst, was das bewirken würde, bevor es geschieht.
season-all-day = { $day }, ganztags
season-days = { $first } bis { $last }
season-clocks = { $day }, { $from } bis { $until }
season-to-day-end = { $day }, { $from } bis zum Ende des Tages
season-day-time = { $day }, { $time }
season-times = { $from } bis { $until }
season-all-schools = alle Schulen
season-none-moves = Keine Platte würde sich verschieben.
season-plates-move = { $n ->
    [one] { $count } Platte würde sich verschieben.
   *[other] { $count } Platten würden sich verschieben.
}
season-runs-go-on = Was läuft, läuft weiter; es wird abgenommen, wenn wieder jemand da ist.
season-run-stopped = Platte { $plate } ({ $label }) läuft gerade und darf nicht allein laufen: Sie würde angehalten, und was darauf ist, wäre verloren.
season-other-runs-go-on = Was sonst läuft, läuft weiter; es wird abgenommen, wenn wieder jemand da ist.
season-choose-schools = Wähle die Schulen, die geschlossen sind.
season-say-why = Sag mit ein paar Worten, warum.
season-give-first = Gib den ersten Tag an.
season-give-last = Gib den letzten Tag an, oder lass ihn leer.
season-give-time = Gib eine Zeit wie 12:30 an, oder lass sie leer.
season-ends-before = Es endet, bevor es anfängt. Gib einen späteren Tag oder eine spätere Zeit an.
season-is-over = Das ist vorbei. Gib einen Tag an, der noch kommt.
season-close = { $n ->
    [one] Schließen
   *[other] Alle { $count } schließen
}
season-not-done = Noch ist nichts getan: das würde geschehen
season-was-not-done = Es wurde nicht getan: der Plan hat sich inzwischen geändert. Das würde jetzt geschehen.
season-was-closed = Erledigt: Es ist geschlossen, und der Plan hat sich mit geändert. Wessen Zusage es betrifft, erfährt es.
season-was-opened = Erledigt: Es ist wieder offen, und der Plan hat sich mit geändert.
season-decide-there = Öffne die Seite der Schließtage und entscheide dort.
season-open-again = Wieder öffnen
season-open-again-title = Wieder öffnen, was geschlossen war?

season-see-moves = Ansehen, was sich verschieben würde
season-nothing-done = Noch ist nichts getan. Zusagen bleiben festgehalten, wie sie gegeben wurden.
season-closed-now = Jetzt oder bald geschlossen
season-none-closed = Nichts. Schließtage der ganzen Region stehen in ihrer Datei.
season-open-this-html = Wieder öffnen<span class="hush">: { $when }, { $what }</span>
season-change-it = Ändern
season-what-is-closed = Was ist geschlossen?
season-schools-print = Druckschulen
season-all-hosts = Alle Druckschulen
season-whole-region = Alle Schulen der Region
season-others = Andere Schulen
season-schools-get = Schulen, die nur Kisten bekommen
season-first-day = Erster Tag
season-from-time = Ab wie viel Uhr
season-from-time-hint = Leer: ab dem Anfang des Tages.
season-last-day = Letzter Tag
season-last-day-hint = Leer: dieser eine Tag.
season-until-time = Bis wie viel Uhr
season-until-time-hint = Leer: bis zum Ende des Tages.
season-why = Warum
season-why-hint = Alle in der Region können das lesen. Nenne keine Person.
season-show = Zeigen, was es bewirken würde

season-no-end = In der Datei der Region steht kein Ende der Saison.
season-ends-on = Die Saison endet am { $day }.
season-title = Die Saison, Woche für Woche
season-goes = { $name }: { $days }; geht los um { $leaves }, ist da um { $arrives }
season-goes-next-day = { $name }: { $days }; geht los um { $leaves }, ist an ihrem nächsten Tag da um { $arrives }
season-no-rounds = Keine Runden.
season-rounds-shut = Alle Runden gehen, aber keine kommt dort vorbei, wo geschlossen ist.
season-rounds-usual = Alle Runden gehen wie gewohnt.
season-only = { $name }: nur { $days }.
season-not-at-all = { $name }: gar nicht.
season-closed-day = { $schools } geschlossen, { $day }: { $what }
season-meeting-day = { $what }, { $day }: Kisten werden bis { $time } übergeben
season-ends-day = { $day }: die Saison endet
season-usual = Runden und Weitergaben, wie gewohnt
season-no-usual = Es gibt keine.
season-week-by-week = Woche für Woche
season-this-week = Diese Woche: { $week }
season-more-html = <a href="/region/closed">Schulen für eine Weile schließen</a>. Auch dein eigener Kalender kann diese Tage zeigen: mach dafür einen Link auf <a href="/account">deiner Kontoseite</a>.
