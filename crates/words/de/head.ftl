### Was Kopf und Fuß jeder Seite sagen, und Seiten, auf denen etwas nicht ging

head-skip = Zum Hauptteil springen
head-pages = Seiten
head-notices = Nachrichten
head-new = neu
head-account = Dein Konto
head-sign-out = Abmelden
head-sign-in-or-join = Anmelden oder beitreten
head-caution = Alles hier dient der Planung. Die Regeln deiner Schule, die Vorschriften vor Ort und die Anleitungen der Hersteller gehen vor. Die Teile sind nicht erprobt: Probiere sie hinter einem Schutz aus.

head-your-parts = Deine Teile
head-send = Teil schicken
head-run-sheet = Arbeitszettel
head-run-sheets = Alle Arbeitszettel
head-plates = Platten
head-spools = Spulen
head-region = Region
head-review = Durchsicht
head-promises = Zusagen
head-shares = Anteile
head-people = Leute
head-start = Anfang
head-your-team = Dein Team
head-crew = Crew
head-how = So geht es

head-student-of = Teammitglied von { $team }
head-mentor-of = Teambegleitung von { $team }
head-at-bench-of = an der Werkbank von { $school }
head-coordinator = Koordination
head-coordinator-of = { $region }, Koordination
head-bench-of = Werkbank von { $school }
head-you-are = Du bist { $name }, { $role }.
head-not-signed-in = Du bist nicht angemeldet.
head-made = { $day }, { $time }

head-sentence = { $text }.
head-changed-meanwhile = Das hat sich inzwischen geändert.
head-not-found = Das finden wir nicht.
head-not-now = Das geht gerade nicht.
head-that-is-for = Das ist für { $who }.
head-comes-first = Etwas anderes kommt zuerst.
head-plan-refused = Unser Plan hat gegen eine Regel verstoßen, darum haben wir ihn verworfen.
head-not-here-do = Vielleicht ist es falsch getippt, oder es gehört jemand anderem.
head-no-file = Diese Datei gibt es nicht.
head-no-page = Diese Seite gibt es nicht.
head-other-site = Das kam nicht von dieser Seite.
head-other-site-do = Öffne Partpledge in diesem Browser und nimm die Knöpfe auf der Seite.
head-not-asked-here = Das kann man hier nicht abrufen.
head-not-asked-here-do = Nimm die Links und Knöpfe auf unseren Seiten.
head-not-for-you = Das ist nicht für dich als { $role }.
head-not-for-you-do = Wenn du noch eine andere Rolle hast, wechsle auf der Seite deines Kontos.
head-no-tongue = Diese Sprache sprechen wir nicht.
head-no-tongue-do = Wähle eine am Fuß jeder Seite.
head-unread = Was geschickt wurde, lässt sich nicht lesen.
head-unread-do = Etwas darin ist viel zu lang, oder die Seite war eine alte. Lade die Seite neu und versuch es noch einmal. Es wurde nichts behalten.
head-waiting = offen
