### Das eigene Konto: Rollen, Browser, Passwort, Programme, gehen

account-title = Dein Konto
account-name = Name, den andere sehen
account-nickname = Spitzname
account-email = E-Mail-Adresse zum Anmelden
account-roles = Was du hier bist
account-worn = jetzt
account-change-over-html = Wechseln<span class="hush"> zu: { $role }</span>
account-no-such-role = Diese Rolle gibt es hier nicht.
account-choose-role = Wähle eine auf der Seite deines Kontos.

account-sign-ins = Wo du angemeldet bist
account-sign-in = Seit { $since }, zuletzt benutzt { $used }, { $role }
account-this-browser = dieser Browser
account-sign-out-there-html = Dort abmelden<span class="hush">: { $which }</span>
account-lasts-adult = Ein Browser wird nach 12 Stunden ohne Benutzung abgemeldet, und nach einer Woche auf jeden Fall.
account-lasts-student = Ein Browser wird nach 45 Minuten ohne Benutzung abgemeldet, und nach 8 Stunden auf jeden Fall.
account-when = { $day } um { $time }

account-mail = Was wir dir schicken
account-mail-page-html = Alles steht auf <a href="/notices">der Seite deiner Nachrichten</a>.
account-mail-on = Per E-Mail bekommst du, was du hier wählst, nie zwischen 20:00 und 7:00.
account-mail-off = E-Mail ist auf diesem Server aus, darum wird nichts geschickt. Deine Wahl gilt von dem Tag an, an dem sie eingeschaltet ist.
account-mail-want = Per E-Mail will ich
account-mail-none = Nichts
account-mail-digest = Eine Nachricht am Morgen, wenn es etwas Neues gibt
account-mail-urgent = Eine Nachricht am Morgen, und sofort, was dringend ist
account-mail-keep = Diese Wahl behalten
account-mail-choose = Wähle, was wir dir per E-Mail schicken.
account-mail-chosen = Was du per E-Mail bekommst, ist aufgeschrieben.

account-password = Ein anderes Passwort
account-password-now = Passwort bisher
account-password-then = Du wirst überall sonst abgemeldet, deine Passkeys werden entfernt, und deine Programme und Kalender brauchen neue Zugangsschlüssel.
account-password-change = Passwort ändern
account-password-changed = Dein Passwort ist geändert. Du bist überall sonst abgemeldet, deine Passkeys sind entfernt, und deine Programme und Kalender brauchen neue Zugangsschlüssel.

account-passkeys = Passkeys
account-passkeys-what = Ein Passkey ist ein Schlüssel auf deinem eigenen Gerät: Du meldest dich mit dem an, was es entsperrt, zum Beispiel Finger, Gesicht oder PIN. Dein Passwort gilt weiter.
account-passkey-used = hinzugefügt { $added }, zuletzt benutzt { $used }
account-passkey-unused = hinzugefügt { $added }, noch nicht benutzt
account-passkey-remove-html = Entfernen<span class="hush">: { $which }</span>
account-passkey-no-script = Dieser Browser kann hier keinen Passkey hinzufügen: Er ist zu alt, oder Skripte sind aus.
account-passkey-add = Passkey hinzufügen
account-passkey-name = Wie du ihn nennst
account-passkey-name-hint = Das Gerät, auf dem er ist, zum Beispiel „Laptop der Schule“, damit du weißt, welchen du entfernen kannst.
account-passkey-password-hint = Damit niemand anderes einen hinzufügt, während du weg bist. Danach fragt dich dein Gerät.
account-passkey-added = Dein Passkey ist hinzugefügt. Beim nächsten Mal kannst du dich mit ihm anmelden.

account-programs = Programme und Kalender
account-programs-lead = Ein Programm kann in deinem Namen fragen, und ein Kalender kann zeigen, was geplant ist.
account-programs-how = Wie Programme fragen
account-stop-html = Stoppen<span class="hush">: { $which }</span>
account-token-name = Ein Name dafür
account-token-name-hint = Wo er benutzt wird, damit du weißt, welchen du stoppen kannst.
account-token-kind = Wofür
account-token-program = Ein Programm
account-token-calendar = Ein Kalender
account-token-role = In welcher Rolle
account-token-days = Tage, bis er endet
account-token-make = Anlegen
account-token-for-program = für ein Programm, { $role }, zuletzt benutzt { $used }, endet { $ends }
account-token-for-program-unused = für ein Programm, { $role }, noch nicht benutzt, endet { $ends }
account-token-for-calendar = für einen Kalender, { $role }, zuletzt benutzt { $used }, endet { $ends }
account-token-for-calendar-unused = für einen Kalender, { $role }, noch nicht benutzt, endet { $ends }
account-token-made = Er ist angelegt.
account-token = Der Zugangsschlüssel
account-token-copy = Kopiere ihn in dein Programm. Wir zeigen ihn nur dieses eine Mal.
account-calendar = Die Adresse des Kalenders
account-calendar-copy = Gib sie deinem Kalender als Adresse zum Abonnieren. Wir zeigen sie nur dieses eine Mal.
account-token-keep = Gib das nicht weiter: Wer es hat, kann lesen oder tun, was deine Rolle kann.
account-token-lost = Wenn es verloren geht, stoppe es auf der Seite deines Kontos, und lege etwas Neues an.
account-copied = Ich habe es kopiert

account-kept = Was wir von dir behalten
account-kept-adult = Deinen Namen, deine E-Mail-Adresse, einen Hash deines Passworts, deine Passkeys, was du hier bist, deine Sprache, wo du angemeldet bist, und was wir dir in den letzten 60 Tagen gesagt haben. Das Protokoll der Region kennt dich nur als Nummer.
account-kept-student = Deinen Spitznamen, dein Team, einen Hash deines eigenen Codes, deine Sprache, wo du angemeldet bist, und was wir dir in den letzten 60 Tagen gesagt haben. Keinen echten Namen, keine E-Mail-Adresse. Das Protokoll der Region kennt dich nur als Nummer.
account-fetch = Eine Kopie davon holen
account-leave = Gehen und alles löschen lassen

account-stays-log =
    { $n ->
        [0] kein Eintrag
        [one] ein Eintrag
       *[other] { $count } Einträge
    } im Protokoll der Region, unter einer Nummer, die zu keinem Namen führt: Was gedruckt und zugesagt wurde, muss für alle anderen wahr bleiben.
account-stays-parts = Die Teile, Anfragen und Zusagen des Teams, als die des Teams: Andere haben mit ihnen geplant.
account-goes-adult = Dein Name, deine E-Mail-Adresse, dein Passwort und deine Passkeys.
account-goes-adult-roles = Was du hier bist, alle deine Anmeldungen, und was wir dir gesagt haben.
account-goes-student = Dein Spitzname und dein eigener Code.
account-goes-student-team = Dass du zum Team gehörst, alle deine Anmeldungen, und was wir dir gesagt haben.
account-leave-title = Gehen und deine Daten löschen lassen?
account-leave-do = Gehen und löschen
account-stay = Bleiben
