### notices

notices-when = { $day } um { $clock } Uhr
notices-comma = { $before }, { $next }
notices-then = { $before } { $next }
notices-number = { $n }

notices-title-all-seen = Du hast alle deine Nachrichten gesehen
notices-title-new = { $n ->
    [one] Eine neue Nachricht
   *[other] { $count } neue Nachrichten
}
notices-elsewhere-html = { $n ->
    [one] Du hast auch eine neue Nachricht in deiner anderen Rolle ({ $role }). <a href="/account">Wechsle</a>, um sie zu lesen.
   *[other] Du hast auch { $count } neue Nachrichten in deiner anderen Rolle ({ $role }). <a href="/account">Wechsle</a>, um sie zu lesen.
}
notices-newer = { $n ->
    [one] Das sind die ältesten, die du noch nicht gesehen hast. Sag, dass du sie gesehen hast, dann kommt die neuere.
   *[other] Das sind die ältesten, die du noch nicht gesehen hast. Sag, dass du sie gesehen hast, dann kommen die { $n } neueren.
}
notices-seen = Ich habe sie gesehen
notices-none = Hier ist nichts. Wenn etwas passiert, das für dich wichtig ist, schreiben wir es hier auf.
notices-new = Neu:
notices-open-html = Öffnen<span class="hush">: { $text }</span>
notices-older = { $n ->
    [one] Eine ältere Nachricht wird nicht gezeigt.
   *[other] { $n } ältere Nachrichten werden nicht gezeigt.
}
notices-kept = Nachrichten werden { $n } Tage lang aufgehoben. Was du selbst getan hast, ist nicht dabei, es sei denn, es ändert, wer in dein Konto kommt.

notices-you-stand-in = Du vertrittst die Koordination bis { $day } abends. Du siehst und entscheidest, was sie sonst entscheidet.
notices-someone-stands-in = Die Koordination wird bis { $day } abends vertreten. Die Vertretung sieht und entscheidet, was sonst die Koordination entscheidet.

notices-passkey-added = Zu deinem Konto kam ein Passkey dazu: { $when }. Warst du das nicht, wähl gleich auf deiner Kontoseite ein neues Passwort. Damit fallen alle Passkeys weg, und du bist überall sonst abgemeldet. Kommst du nicht hinein, bitte die Koordination um einen Link.
notices-passkey-removed = Von deinem Konto wurde ein Passkey entfernt: { $when }. Warst du das nicht, wähl gleich auf deiner Kontoseite ein neues Passwort. Damit bist du überall sonst abgemeldet. Kommst du nicht hinein, bitte die Koordination um einen Link.
notices-password-changed = Das Passwort deines Kontos wurde geändert: { $when }. Alle Passkeys sind entfernt, alle Zugangsschlüssel gelten nicht mehr. Warst du das nicht, bitte die Koordination gleich um einen Link zu einem neuen Passwort. Damit ist abgemeldet, wer hineinkam.
notices-token-made = In deinem Namen wurde ein Zugangsschlüssel für ein Programm gemacht: { $when }. Warst du das nicht, wähl gleich auf deiner Kontoseite ein neues Passwort. Damit gelten alle Zugangsschlüssel nicht mehr, und du bist überall sonst abgemeldet.
notices-token-made-student = In deinem Namen wurde ein Zugangsschlüssel für ein Programm gemacht: { $when }. Warst du das nicht, beende ihn auf deiner Kontoseite. Bitte dann deine Teambegleitung um einen neuen Rückkehrcode: Damit ist abgemeldet, wer hineinkam.
notices-calendar-made = Für deinen Kalender wurde eine geheime Adresse gemacht: { $when }. Warst du das nicht, wähl gleich auf deiner Kontoseite ein neues Passwort. Damit gilt die Adresse nicht mehr, und du bist überall sonst abgemeldet.
notices-calendar-made-student = Für den Kalender deines Teams wurde in deinem Namen eine geheime Adresse gemacht: { $when }. Warst du das nicht, beende sie auf deiner Kontoseite. Bitte dann deine Teambegleitung um einen neuen Rückkehrcode: Damit ist abgemeldet, wer hineinkam.

notices-comes = Jetzt sollte es bis { $at } kommen.
notices-comes-to = Jetzt sollte es bis { $at } kommen, nach: { $place }.
notices-comes-unknown = Wir können noch nicht sagen, wann es kommt.

notices-bench-plate = Platte { $plate } um { $start } auf { $printer }
notices-bench-new = Heute neu an deiner Werkbank: { $plates }.
notices-bench-moved = Platte { $plate } ist heute nicht für deine Werkbank. Sie ist jetzt geplant für { $start }.
notices-bench-off = Platte { $plate } steht nicht mehr im Plan. Starte sie nicht.
notices-programs-plate = Platte { $plate } um { $start }
notices-programs-wanted = Für das, was du heute startest, haben wir noch kein Druckprogramm: { $plates }. Damit wissen wir die Dauer besser.
notices-look-at = { $n ->
    [one] An der Werkbank von { $host } muss sich eine erwachsene Person etwas ansehen. Soweit wir wissen, darf das niemand allein tun, der dort war. Geh bald hin. Sieh nach, ob alles gut ist, und sag es dann auf der Seite „Crew“.
   *[other] An der Werkbank von { $host } muss sich eine erwachsene Person { $n } Dinge ansehen. Soweit wir wissen, darf sie niemand allein tun, der dort war. Geh bald hin. Sieh nach, ob alles gut ist, und sag es dann auf der Seite „Crew“.
}
notices-spool-most = Keine Spule hier hat mehr als { $grams } g.
notices-spool-none = Davon ist keine Spule hier.
notices-spool-short = Platte { $plate } startet um { $start } und braucht { $grams } g { $material }. { $has }
notices-stop-by = Platte { $plate } auf { $printer } ist nicht fertig, wenn { $at } alle gehen, und niemand hat erlaubt, dass { $printer } allein läuft. Halte sie bis dahin an, lass abkühlen und sag, wie es lief. Sie wird neu geplant.
notices-stop-now = Halte Platte { $plate } auf { $printer } jetzt an und lass sie abkühlen: Sie wird nicht fertig, bevor alle gehen. Was darauf ist, wird neu gemacht.
notices-bench-closed = { $school } ist geschlossen, von { $from } bis { $until }: { $reason }. Platten, die dann gedruckt werden sollten, werden verschoben. Was läuft, läuft weiter und wird heruntergenommen, wenn wieder jemand da ist.

notices-may-be-late = „{ $part }“ kommt vielleicht zu spät. Zugesagt war es für { $promised }. { $now } Der Grund: { $why }.
notices-may-be-late-no-cause = „{ $part }“ kommt vielleicht zu spät. Zugesagt war es für { $promised }. { $now }
notices-at-risk = Die Zusage für Teil { $number }, „{ $part }“ von { $team }, ist in Gefahr. Sie galt für { $promised }. { $now } Der Grund: { $why }.
notices-at-risk-no-cause = Die Zusage für Teil { $number }, „{ $part }“ von { $team }, ist in Gefahr. Sie galt für { $promised }. { $now }
notices-decide = Teil { $number }, „{ $part }“ von { $team }, wartet auf dich. Sag, ob es gemacht werden darf.
notices-appealed = { $team } bittet dich um einen zweiten Blick auf Teil { $number }, „{ $part }“.
notices-reported = Jemand sagt, dass Teil { $number }, „{ $part }“ von { $team }, nicht hier sein sollte. Sieh es dir bald an.
notices-undecided = Teil { $number }, „{ $part }“ von { $team }, wartet noch auf dich. Wenn bis { $closes } niemand sagt, ob es gemacht werden darf, ist die Antwort nein.
notices-doubt-gone = Kiste { $share } mit „{ $part }“ von { $team } ist vielleicht verloren: Niemand findet sie. Sag, ob wir es noch einmal machen.
notices-doubt-never-came = Kiste { $share } mit „{ $part }“ von { $team } ist vielleicht verloren: Sie ging los und kam nicht an. Sag, ob wir es noch einmal machen.
notices-doubt-wrong-parts = In Kiste { $share } mit „{ $part }“ von { $team } sind vielleicht andere Teile. Sag, ob wir es noch einmal machen.

notices-packed-some = { $n ->
    [one] { $n } von { $of } Stück von „{ $part }“ liegt in einer Kiste bei { $host }.
   *[other] { $n } von { $of } Stück von „{ $part }“ liegen in einer Kiste bei { $host }.
}
notices-packed-one = „{ $part }“ ist fertig. Dein Stück liegt in einer Kiste bei { $host }.
notices-packed-all = „{ $part }“ ist fertig. Alle { $of } Stück liegen in einer Kiste bei { $host }.
notices-packed-last = „{ $part }“ ist fertig. Alle { $of } Stück sind verpackt, die letzten bei { $host }.
notices-ready-promised = Zugesagt ist es für { $at }, Ort: { $place }.
notices-ready-goes = Es kommt hierhin: { $place }.
notices-left = Eine Kiste mit „{ $part }“ ist unterwegs. Ziel: { $place }.
notices-not-gone = Eine Kiste mit „{ $part }“ ging nicht los. { $why } { $now }
notices-hitch-no-courier = Die Botenrunde kam nicht.
notices-hitch-not-ready = Sie war nicht rechtzeitig fertig.
notices-hitch-left-behind = Sie wurde nicht mitgenommen.
notices-hitch-nobody-came = Niemand hat sie abgeholt.
notices-again-gone = Niemand findet eine Kiste mit „{ $part }“. Wir machen noch einmal, was darin war. Öffne es, um zu sehen, wann.
notices-again-never-came = Eine Kiste mit „{ $part }“ ging los und kam nicht an. Wir machen es noch einmal. Öffne es, um zu sehen, wann.
notices-again-wrong-parts = In deiner Kiste mit „{ $part }“ waren andere Teile. Wir machen deine noch einmal. Öffne es, um zu sehen, wann.
notices-box-found = Die Kiste mit „{ $part }“ wurde gefunden. Sie geht weiter ihren Weg.
notices-box-right = Jemand hat in deine Kiste mit „{ $part }“ gesehen. Die richtigen Teile sind darin.
notices-handed-over = Dein Team hat „{ $part }“ jetzt.
notices-handed-over-late = Dein Team hat „{ $part }“ jetzt. Es kam später als zugesagt. Das tut uns leid.
notices-some-handed-over = Dein Team hat jetzt eine Kiste mit „{ $part }“. Die anderen Stücke kommen später.
notices-not-handed-over = Eine Kiste mit „{ $part }“ ist doch nicht bei deinem Team. Wir haben es dir zu früh gesagt.

notices-recalled = Wir rufen „{ $part }“ zurück: Vielleicht stimmt etwas nicht damit.
notices-recalled-have = { $n ->
    [one] Dein Team hat ein Stück. Benutzt es nicht, bis jemand es geprüft hat. Sagt es uns dann auf der Seite des Teils.
   *[other] Dein Team hat { $n } Stück. Benutzt sie nicht, bis jemand sie geprüft hat. Sagt es uns dann auf der Seite des Teils.
}
notices-recalled-held = { $n ->
    [one] Ein Stück behalten wir hier und prüfen es zuerst.
   *[other] { $n } Stück behalten wir hier und prüfen sie zuerst.
}
notices-recall-lifted = „{ $part }“ muss nicht mehr geprüft werden. Du darfst benutzen, was du davon hast.
notices-recall-good = Wir haben unsere Stücke von „{ $part }“ geprüft. Sie sind gut.
notices-recall-bad = Wir haben unsere Stücke von „{ $part }“ geprüft. Sie sind nicht gut. Öffne es, um zu sehen, was stattdessen kommt.
notices-check-recalled = { $n ->
    [one] Prüfe ein Stück von „{ $part }“ an deiner Werkbank: Platte { $plates }. Bis dahin darf keine Kiste damit losgehen.
   *[other] Prüfe Stücke von „{ $part }“ an deiner Werkbank: Platte { $plates }. Bis dahin darf keine Kiste damit losgehen.
}
notices-checked-good = Zurückgerufene Stücke von Teil { $number }, „{ $part }“ von { $team }, wurden geprüft. Sie sind gut.
notices-checked-bad = Zurückgerufene Stücke von Teil { $number }, „{ $part }“ von { $team }, wurden geprüft. Sie sind nicht gut.

notices-promised = „{ $part }“ ist zugesagt. Du hast es bis { $at }, Ort: { $place }.
notices-needs-change = An „{ $part }“ muss etwas geändert werden, bevor wir es drucken können. Öffne es, um zu sehen, was zu tun ist.
notices-waits = „{ $part }“ wartet. Zuerst sieht es sich jemand an. Du musst nichts tun.
notices-waits-long = Noch hat niemand „{ $part }“ angesehen. Wir haben noch einmal gefragt. Wenn bis { $closes } niemand sagt, ob es gemacht werden darf, ist die Antwort nein. Dann darfst du es noch einmal schicken.
notices-waits-long-again = Noch hat niemand „{ $part }“ ein zweites Mal angesehen. Wir haben noch einmal gefragt. Wenn es bis { $closes } niemand tut, bleibt es beim Nein.
notices-not-decided = „{ $part }“ wird nicht gemacht: Niemand hat rechtzeitig gesagt, dass es gemacht werden darf. Du kannst nichts dafür. Öffne es, um zu sehen, was du tun kannst.
notices-not-decided-again = Niemand hat „{ $part }“ ein zweites Mal angesehen. Es bleibt beim Nein. Sprich mit deiner Teambegleitung.
notices-passed = Wir haben „{ $part }“ angesehen. Es kann gemacht werden. Öffne es, um zu sehen, wann.
notices-refused = Wir haben „{ $part }“ angesehen und machen es nicht. Öffne es, um zu sehen, warum.
notices-taken-down = „{ $part }“ wurde heruntergenommen. Öffne es, um zu sehen, warum.
notices-called-back = Jemand aus deinem Team hat „{ $part }“ zurückgezogen. Es wird nicht gemacht.
notices-spare-not-made = „{ $part }“ wurde nicht gedruckt, bevor die Werkbank bei { $place } schloss. Wir haben unsere Zusage nicht gehalten. Wenn du es noch brauchst, öffne es und frag noch einmal danach.
notices-spare-not-all-made = „{ $part }“ wurde nicht ganz gedruckt, bevor die Werkbank bei { $place } schloss. Wir haben unsere Zusage nicht gehalten. Wenn du es noch brauchst, öffne es und frag noch einmal danach.
notices-printing = „{ $part }“ wird jetzt gedruckt, auf { $printer } bei { $host }.
notices-in-time-again = „{ $part }“ sollte doch rechtzeitig kommen: bis { $promised }, Ort: { $place }.


