### region

region-then = { $before } { $next }
region-day-at = { $day } um { $clock } Uhr
region-part-of = { $part } von { $whose }
region-place = { $printer }, { $time }
region-no-place = kein Platz

region-title = { $n ->
    [0] Keine Zusage ist in Gefahr.
    [one] Eine Zusage ist in Gefahr.
   *[other] { $count } Zusagen sind in Gefahr.
}
region-lead-open = { $n ->
    [one] { $n } Zusage ist offen.
   *[other] { $n } Zusagen sind offen.
}
region-lead-all-hold = { $n ->
    [one] { $n } Zusage ist offen, und sie hält.
   *[other] { $n } Zusagen sind offen, und alle halten.
}
region-lead-other-holds = { $n ->
    [one] { $n } Zusage ist offen; die andere hält.
   *[other] { $n } Zusagen sind offen; die andere hält.
}
region-lead-others-hold = { $n ->
    [one] { $n } Zusage ist offen; die anderen { $others } halten.
   *[other] { $n } Zusagen sind offen; die anderen { $others } halten.
}
region-lead-none-waits = Keine Datei wartet auf ein Wort von uns.
region-lead-waiting = { $n ->
    [one] Ein Teil ist ohne Zusage.
   *[other] { $count } Teile sind ohne Zusage.
}
region-all-promises = Alle offenen Zusagen, die gefährdetsten zuerst

region-risks = Zusagen in Gefahr
region-out = Drucker außer Betrieb
region-quiet-label = Druckschulen, die nichts abgehakt haben
region-quiet = { $n ->
    [one] Eine Platte war { $since } fällig, und niemand hat sie abgehakt. Frag zuerst dort.
   *[other] { $count } Platten waren fällig, die erste { $since }, und niemand hat sie abgehakt. Frag zuerst dort.
}
region-quiet-wait = { $n ->
    [one] Eine Zusage wartet darauf.
   *[other] { $count } Zusagen warten darauf.
}
region-quiet-open = { $n ->
    [one] Die Zusage, und was man sonst tun kann
   *[other] Die { $count } Zusagen, und was man sonst tun kann
}
region-quiet-sheet = Arbeitszettel von { $host }
region-risk-not-reported = sollte bis { $day } { $clock } da sein, aber niemand hat es gemeldet. Der Grund: { $because }.
region-risk-not-reported-only = sollte bis { $day } { $clock } da sein, aber niemand hat es gemeldet.
region-risk-will-miss = kommt nicht bis { $day } { $clock }. Der Grund: { $because }.
region-risk-will-miss-only = kommt nicht bis { $day } { $clock }.
region-risk-may-miss = kommt vielleicht nicht bis { $day } { $clock }. Der Grund: { $because }.
region-risk-may-miss-only = kommt vielleicht nicht bis { $day } { $clock }.
region-likely = Es käme { $by }.
region-likely-unknown = Wann es käme, lässt sich nicht sagen.
region-odds-now-html = <b>{ $ten } von 10</b>, wie es jetzt steht. { $likely }
region-odds-then-html = <b>{ $ten } von 10</b>, { $says }
region-choice = wenn es auf { $printer } bei { $host } gemacht wird, { $time }. { $cost }
region-choice-nobody = Keine andere Platte wird verschoben.
region-choice-others = { $n ->
    [one] Eine andere Platte wird verschoben, und jede Zusage, die hält, hält weiter.
   *[other] { $count } andere Platten werden verschoben, und jede Zusage, die hält, hält weiter.
}
region-choice-button = Auf { $printer } verschieben
region-choice-stop = wenn Platte { $plate } auf { $running } jetzt angehalten und auf { $printer } bei { $host } neu gemacht wird, { $time }. { $cost }
region-choice-stop-button = Platte { $plate } anhalten, auf { $printer } machen
region-move-stop = Platte { $plate } auf { $running } wird jetzt angehalten; die Werkbank erfährt es. Was darauf ist, wird neu gemacht.
region-no-choice = Wir haben im Plan keinen besseren Platz gefunden.
region-moves = Ansehen, was verschoben wird
region-move = Platte { $plate } ({ $label }): bisher { $old }, dann { $new }
region-move-again = Platte { $plate } ({ $label }): läuft jetzt und würde noch einmal gemacht, bisher { $old }, dann { $new }
region-see-ticket = Zum Teil
region-not-ours = Dieses Formular war nicht von uns.
region-not-ours-do = Öffne die Seite der Region und entscheide dort.

region-machines = Drucker, die nicht antworten oder allein laufen
region-waiting = Ohne Zusage
region-waiting-who = { $part }, { $team }
region-waiting-change = das Team weiß, was geändert werden muss
region-waiting-review = es wartet auf deine Durchsicht
region-waiting-no-day = es kann gedruckt werden, aber kein Tag ließ sich zusagen
region-recalls = Zurückgerufen und noch nicht ganz geprüft

region-hours = Die nächsten 48 Stunden
region-hours-narrow = Das sind die ersten 24 Stunden. Die Tabelle hat alle 48.
region-hours-none = In diesen Stunden ist nichts geplant.
region-hours-table = Dasselbe als Tabelle
region-hours-table-label = Die nächsten 48 Stunden als Tabelle
region-hours-printer = Drucker
region-hours-plate = Platte
region-hours-what = Was
region-hours-from = Von
region-hours-until = Bis
region-hours-state = Stand
region-state-running-risk = läuft, in Gefahr
region-state-risk = in Gefahr
region-state-running = läuft
region-state-over = vorbei
region-state-planned = geplant

region-timeline = Die nächsten Stunden. Drucker: { $printers }, Schulen: { $hosts }.
region-timeline-label = { $label } Die Tabelle darunter sagt dasselbe in Worten.
region-timeline-now = jetzt, { $clock }
region-timeline-nobody = in diesen Stunden niemand da
region-timeline-staffed = besetzt { $hours }
region-timeline-alone = allein erlaubt
region-timeline-alone-after = , darf allein laufen
region-key-planned = geplante Platte
region-key-running = läuft
region-key-risk = mit einer Zusage in Gefahr
region-key-out = außer Betrieb
region-key-failed = misslungen
region-key-nobody = niemand da (weite Schraffur: darf allein laufen)

region-room = Druckerstunden in den nächsten sieben Tagen
region-room-lead = Gezählt ist, wenn jemand da ist. Ein Drucker, der zwei Kunststoffe druckt, zählt in beiden Zeilen. Gefragt: was zugesagt und noch nicht gestartet ist; in den Zeilen der Druckbetten, was mindestens dieses Bett braucht. Nächte von Druckern, die allein laufen dürfen, kommen dazu.
region-room-label = Tabelle der Druckerstunden: { $what }
region-room-plastic = Kunststoff
region-room-bed = Druckbett
region-room-printers = Drucker
region-room-staffed = Besetzt h
region-room-free = Frei h
region-room-asked = Gefragt h

region-printers = Was die Drucker wirklich tun
region-printers-recall = Zurückrufen, was er inzwischen gedruckt hat
region-changes = Warum sich der Plan geändert hat
region-links-html = Schnee, ein Feiertag? <a href="/region/closed">Schulen für eine Weile schließen</a>. Neue Teams oder Drucker? <a href="/region/data">Die Tabellen der Region</a>. Was kommt? <a href="/region/calendar">Die Saison, Woche für Woche</a>. Was wurde gemacht, und für wie viel? <a href="/season">Diese Saison bis jetzt</a>
region-recall-html = Ein Drucker druckt nicht mehr genau, oder eine alte Datei wurde gedruckt? <a href="/recalls">Stücke zurückrufen</a>

region-if-title = Was wäre, wenn …
region-if-about = Frag etwas über den Plan. Es ist nur eine Frage: Nichts wird gespeichert und niemand erfährt davon.
region-if-page = Nur eine Frage: Was wäre, wenn …?
region-if-page-asked = Nur eine Frage: Was wäre, wenn { $supposed }?
region-if-lead-html = Nichts wird gespeichert, keine Platte wird verschoben und niemand erfährt davon. <a href="/region">Zur Region, wie sie ist</a>
region-if-until = { $day }, { $clock } Uhr
region-if-out = { $printer } bis { $until } nicht benutzt werden kann
region-if-closed = { $school } am { $day } geschlossen ist
region-if-more = { $school } noch einen Drucker wie { $printer } hat
region-if-away = an der Werkbank von { $school } bis { $until } niemand ist
region-if-wrong = { $what }. { $todo }
region-if-wrong-time = Die Zeit muss noch kommen und in den nächsten sechs Wochen liegen.
region-if-missed = käme zu spät
region-if-at-risk = wäre in Gefahr
region-if-holds-again = käme wieder rechtzeitig
region-if-promises-missed = { $n ->
    [one] Eine Zusage würde gebrochen
   *[other] { $count } Zusagen würden gebrochen
}
region-if-promises-at-risk = { $n ->
    [one] Eine Zusage wäre in Gefahr
   *[other] { $count } Zusagen wären in Gefahr
}
region-if-promises-hold = { $n ->
    [one] Eine Zusage würde wieder halten
   *[other] { $count } Zusagen würden wieder halten
}
region-if-others-missed = { $n ->
    [one] eine würde gebrochen
   *[other] { $count } würden gebrochen
}
region-if-others-at-risk = { $n ->
    [one] eine wäre in Gefahr
   *[other] { $count } wären in Gefahr
}
region-if-others-hold = { $n ->
    [one] eine würde wieder halten
   *[other] { $count } würden wieder halten
}
region-if-same = Jede Zusage stünde so wie jetzt.
region-if-verdict = { $one }.
region-if-verdict-two = { $one } und { $other }.
region-if-verdict-three = { $one }, { $other } und { $third }.
region-if-shift = Zugesagt: { $promised }. Jetzt { $now } von 10, dann { $then } von 10.
region-if-plates = { $n ->
    [0] Keine Platte würde verschoben.
    [one] Eine Platte würde verschoben.
   *[other] { $count } Platten würden verschoben.
}
region-if-more-alone = Der Plan wird damit neu gemacht, und der Drucker darf nicht allein laufen: Das hat niemand erlaubt.
region-if-lost = Was jetzt auf dem Drucker ist, zählt als verloren und würde noch einmal gedruckt.
region-if-moves = Ansehen, was verschoben würde
region-if-hours = Die nächsten 48 Stunden, wenn es so wäre
region-if-hours-none = In diesen Stunden wäre nichts geplant.
region-if-hours-table-label = Die nächsten 48 Stunden, wie sie wären, als Tabelle
region-if-then-label = Die nächsten Stunden, wenn { $supposed }.
region-if-now-label = Die nächsten Stunden, wie sie jetzt geplant sind.
region-if-now = Wie es jetzt geplant ist
region-if-now-table-html = Die Tabelle dazu steht auf <a href="/region">der Seite der Region</a>.
region-if-ask = Eine Frage stellen
region-if-ask-another = Noch eine Frage stellen
region-if-link = Der Link einer Antwort enthält die Frage; schick ihn denen, die sie sehen sollen.

region-ask-out = Ein Drucker kann nicht benutzt werden
region-ask-closed = Eine Schule ist einen Tag geschlossen
region-ask-away = Niemand ist an einer Werkbank
region-ask-more = Es gibt einen Drucker mehr
region-ask-printer = Drucker
region-ask-until = Bis Tag
region-ask-time = Uhrzeit
region-ask-school = Schule
region-ask-day = Tag
region-ask-like = Wie
region-ask-at = Bei
region-ask-out-html = Fragen<span class="hush">: ein Drucker kann nicht benutzt werden</span>
region-ask-closed-html = Fragen<span class="hush">: eine Schule ist geschlossen</span>
region-ask-away-html = Fragen<span class="hush">: niemand ist an der Werkbank</span>
region-ask-more-html = Fragen<span class="hush">: ein Drucker mehr</span>
region-new-printer = Neu, wie { $printer }

region-calendar-start = Platte { $plate } starten: { $label }, { $material }
region-calendar-off = Platte { $plate } abnehmen: { $label }
region-calendar-counter = Kiste { $share } wird abgeholt, für { $to }
region-calendar-courier = Kiste { $share } geht mit der Botenrunde, nach { $to }
region-calendar-meeting = Kiste { $share } geht zum Treffen, nach { $to }
region-calendar-promised = { $part }, { $n } Stück zugesagt
region-calendar-late = Später: { $part }, { $n } Stück, zugesagt { $promised }
region-calendar-late-unknown = Später, niemand kann schon sagen, wann: { $part }, { $n } Stück, zugesagt { $promised }
region-calendar-all-closed = Alle Schulen geschlossen: { $reason }
region-calendar-closed = Geschlossen: { $reason } ({ $schools })
region-calendar-hand-over = { $name }: Kisten werden übergeben
region-calendar-round = { $name } holt ab; bringt { $arrives }
region-calendar-too-often = Das war zu oft.
region-calendar-none = Diesen Kalender gibt es nicht.
region-begin-title = Deine Region hat noch keinen Drucker.
region-begin-lead = Trag ein, wer druckt, und hol deine Leute dazu. Dann können Teams ihre Teile schicken.
region-begin-tables-html = <a href="/region/data">Trag deine Drucker ein</a>: Schulen, Druckschulen mit ihren Zeiten, Drucker und Teams, jede Liste als Tabelle.
region-begin-people-html = <a href="/people">Lade Leute ein</a>: die an einer Werkbank arbeiten, und für jedes Team eine Begleitung.
region-decisions = Wartet auf dein Wort
region-decide-held = { $n ->
    [one] Ein Teil ist für deine Durchsicht angehalten.
   *[other] { $count } Teile sind für deine Durchsicht angehalten.
}
region-decide-appeals = { $n ->
    [one] Ein Team bittet um einen zweiten Blick.
   *[other] { $count } Teams bitten um einen zweiten Blick.
}
region-decide-reports = { $n ->
    [one] Ein Teil wurde gemeldet.
   *[other] { $count } Teile wurden gemeldet.
}
region-decide-boxes = { $n ->
    [one] Mit einer Kiste stimmt etwas nicht, sagt jemand.
   *[other] Mit { $count } Kisten stimmt etwas nicht, sagt jemand.
}
region-decide-recalls = { $n ->
    [one] Ein Rückruf ist noch zu prüfen.
   *[other] { $count } Rückrufe sind noch zu prüfen.
}
region-short = Druckschulen mit zu wenig Spulen
region-alone = Werkbänke ohne Leute
region-alone-html = <b>{ $host }</b>: An der Werkbank ist noch niemand angemeldet, und niemand dort erfährt von einer Platte. <a href="/people">Lade jemanden ein</a>.
