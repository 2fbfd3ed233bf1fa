### Anmelden, beitreten, zurückkommen, Links für einmal

entry-password-hint = Mindestens 12 Zeichen: Drei oder vier Wörter, die du dir merkst, sind gut. Weitere Regeln gibt es nicht.
entry-nickname-hint = Der Name, den dein Team sieht. Bitte nicht dein echter Name: kein Nachname, keine E-Mail-Adresse, keine Nummer.

entry-name-missing = Gib einen Namen an.
entry-name-long = Gib einen Namen mit höchstens 40 Buchstaben an.
entry-name-personal = Wähle einen Spitznamen ohne E-Mail-Adresse und ohne lange Nummer.
entry-name-of-role = Wähle einen Spitznamen, der nicht wie eine Rolle heißt.
entry-nickname-taken = Jemand in deinem Team hat diesen Spitznamen schon. Wähle einen anderen. Wenn du das gerade selbst warst, bitte deine Teambegleitung um einen Rückkehrcode.
entry-email-bad = Gib eine E-Mail-Adresse an, zum Beispiel name@school.example.
entry-email-taken = Mit dieser Adresse meldet sich schon jemand an. Wenn du das bist, melde dich zuerst an und öffne den Link noch einmal.
entry-password-short = Wähle ein Passwort mit mindestens 12 Zeichen.
entry-password-long = Wähle ein Passwort mit höchstens 256 Zeichen.
entry-password-common = Dieses Passwort wird beim Raten mit als erstes probiert. Wähle ein anderes.
entry-password-wrong = Das ist nicht das Passwort, das du jetzt hast.
entry-no-match = Diese E-Mail-Adresse und dieses Passwort passen hier nicht zusammen. Prüfe beides. Wenn das Passwort verloren ist, bitte die Koordination um einen Link zu einem neuen.
entry-no-code = Dieser Code geht nicht. Prüfe ihn Zeichen für Zeichen, oder bitte um einen neuen.
entry-no-role = Du hast hier keine Rolle mehr. Frag die Koordination.
entry-token-days = Gib eine Zahl von Tagen an: 1 bis 366, als Teammitglied bis 30.
entry-tokens-many = Du hast schon 20. Stoppe einen, den du nicht mehr brauchst.
entry-passkeys-many = Du hast schon { $most } Passkeys. Entferne einen, den du nicht mehr brauchst.
entry-passkey-not-kept = Dieser Passkey wurde nicht hinzugefügt: Er kam zu spät, oder er ist nicht der, um den wir gebeten haben. Lösche ihn auf deinem Gerät, und versuch es noch einmal.
entry-no-passkey = Du bist nicht angemeldet: Dieser Passkey geht hier nicht. Versuch es noch einmal, oder melde dich mit deinem Passwort an.
entry-no-passkeys-here = An dieser Adresse gibt es keine Passkeys. Browser legen sie nur an, wo die Adresse mit https:// und einem Namen beginnt, oder mit http://localhost.
entry-role-bad = Wähle etwas aus der Liste.
entry-last-coordinator = Die Region hätte dann keine Koordination mehr. Lade zuerst jemand anderen dazu ein.
entry-stand-in-day = Wähle einen Tag ab heute, höchstens 60 Tage entfernt.
entry-stand-in-who = Wähle jemand Erwachsenen aus der Liste. Teammitglieder und wer schon koordiniert können nicht vertreten.

entry-wait-until = Es gab zu viele falsche Versuche. Warte bis { $time }, und versuch es dann noch einmal. Nichts ist verloren.
entry-wait-until-day = Es gab zu viele falsche Versuche. Warte bis { $day }, { $time }, und versuch es dann noch einmal. Nichts ist verloren.

entry-also-join = Du bist in einem Team, und deine Teambegleitung hat einen Code?
entry-join = Deinem Team beitreten
entry-also-come-back = Du bist schon beigetreten?
entry-come-back-with = Mit deinem eigenen Code zurückkommen
entry-also-adults = Du begleitest ein Team, arbeitest an einer Werkbank oder koordinierst?
entry-sign-in = Anmelden

entry-email = E-Mail-Adresse
entry-password = Passwort
entry-sign-in-lead = Für Teambegleitungen, Leute an einer Werkbank und die Koordination.
entry-password-lost = Wenn es verloren ist, macht dir die Koordination einen Link zu einem neuen.
entry-passkey = Anmelden, ohne etwas einzutippen
entry-passkey-what = Ein Passkey ist ein Schlüssel auf deinem eigenen Gerät: Du meldest dich mit dem an, was es entsperrt, zum Beispiel Finger, Gesicht oder PIN. Du fügst ihn auf der Seite deines Kontos hinzu.
entry-passkey-do = Mit Passkey anmelden

entry-join-lead = Wir behalten von dir nur einen Spitznamen.
entry-team-code = Der Code deines Teams
entry-team-code-hint = Acht Buchstaben und Ziffern von deiner Teambegleitung. Kleine Buchstaben und Striche machen nichts aus.
entry-nickname = Dein Spitzname
entry-join-do = Beitreten
entry-joined = Du bist dabei: Willkommen bei { $team }.
entry-joined-lead = Schreib diesen Code auf. Mit ihm kommst du hierher zurück, an diesem Computer oder an einem anderen. Wir zeigen ihn nur dieses eine Mal.
entry-own-code = Dein eigener Code
entry-own-code-keep = Behalte ihn für dich: Wer ihn hat, kommt als du herein.
entry-own-code-lost = Wenn du ihn verlierst, macht dir deine Teambegleitung einen neuen.
entry-shared-computer = An einem Computer, den auch andere benutzen, melde dich am Ende ab. Der Knopf ist am Fuß jeder Seite.
entry-written-down = Ich habe ihn aufgeschrieben

entry-come-back = Zurückkommen
entry-come-back-lead = Für Teammitglieder, die schon beigetreten sind.
entry-own-code-hint = Fünfzehn Buchstaben und Ziffern. Du hast ihn beim Beitreten bekommen. Wenn er verloren ist, macht dir deine Teambegleitung einen neuen.

entry-dead-link = Dieser Link geht nicht.
entry-dead-link-why = Er wurde schon benutzt, er ist abgelaufen, oder er wurde gestoppt. Bitte um einen neuen.
entry-invited = Du bist eingeladen: { $role }
entry-invited-as = Du bist als { $name } angemeldet. Du behältst, was du schon bist.
entry-take-up = Annehmen
entry-invited-lead = Hast du hier schon ein Konto? Melde dich zuerst an, und öffne diesen Link noch einmal.
entry-name = Dein Name
entry-name-hint = So sehen ihn andere in der Region.
entry-email-hint = Mit ihr meldest du dich an. Wir schreiben dir noch nicht.
entry-choose-password = Wähle ein Passwort
entry-make-account = Mein Konto anlegen
entry-choose-new-password = Wähle ein neues Passwort
entry-new-password-lead = Du wirst überall abgemeldet, und meldest dich mit dem neuen an. Deine Passkeys werden entfernt. Programme und Kalender brauchen neue Zugangsschlüssel.
entry-new-password = Neues Passwort
entry-keep-password = Dieses Passwort behalten

entry-goes = Was gelöscht wird
entry-stays = Was bleibt, und warum
entry-no-undoing-html = Das lässt sich nicht rückgängig machen. <a href="{ $href }">Hol dir vorher eine Kopie von dem, was wir behalten</a>, wenn du eine willst.
