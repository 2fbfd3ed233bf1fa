### Die Tabellen der Region, heraus und wieder hinein

data-title = Die Tabellen der Region
data-lead-html = Schulen, Teams, Druckschulen und Drucker als Dateien für eine Tabellenkalkulation, heraus und wieder hinein. <a href="/region">Zur Region</a>
data-line-by-line = Zeile für Zeile
data-where = Wo
data-which = Welche
data-what = Was
data-how = Wie
data-like-this-already = Schon so: { $n }.
data-nothing-moves = Keine Platte würde sich verschieben.
data-see-moves = Ansehen, was sich verschieben würde
data-not-done-yet = Noch ist nichts getan.
data-do = Tun
data-was-done = Es ist erledigt. Was geändert wurde, steht am Ende dieser Seite.
data-put-right = Nichts wurde geändert. Bring es in deiner Datei in Ordnung, und wähle sie unten noch einmal.
data-out = Herausholen
data-columns-html = Was in den Spalten steht<span class="hush">: { $table }</span>
data-get = { $name }.csv holen
data-in = Eine hineingeben
data-in-lead = Ändere die Zeilen in deiner Tabellenkalkulation, und speichere sie als CSV UTF-8, mit Kommas. Du siehst, was das ändern würde, bevor etwas getan wird.
data-which-table = Welche Tabelle
data-file = Datei
data-left-out = Was in der Datei fehlt
data-left-out-stays = bleibt in der Region
data-left-out-goes = wird aus der Region herausgenommen
data-show = Zeigen, was das ändern würde
data-history = Was geändert wurde

data-schools = Schulen
data-teams = Die Teams
data-hours = Druckschulen und ihre Zeiten
data-printers = Drucker

data-school-code = Ein kurzes Wort für die Schule, etwa oak-hill. Andere Tabellen nennen die Schule so.
data-school-name = Der Name, den alle lesen.
data-school-x = Wie weit östlich von der Mitte der Region, in km. Westlich mit Minus.
data-school-y = Wie weit nördlich von der Mitte, in km. Südlich mit Minus.
data-team-name = Der Name des Teams. Ein neuer Name ergibt ein neues Team.
data-team-school = Das Kürzel der Schule, an der das Team seine Kisten bekommt.
data-host-school = Das Kürzel der Schule, die druckt.
data-host-bench = Wo in der Schule die Drucker stehen.
data-host-hours = Wann jemand an der Werkbank ist, etwa mon-fri 08:15-17:30; sat 09:00-13:00.
data-host-boxing = Minuten von einer Platte, die vom Druckbett ist, bis zu ihrer geschlossenen Kiste.
data-host-starts = Wie viele Platten ihre Leute vom Öffnen bis zum Schließen höchstens starten. Leer: so viele, wie passen.
data-host-no-show = Wie oft niemand kommt, obwohl die Zeiten es sagen: 0.05 heißt 5-mal von 100.
data-host-student-run = Das Wort yes, wenn Teammitglieder diese Werkbank führen und Erwachsene die Verantwortung haben. Leer: nein.
data-host-adult-for = Wofür Teammitglieder dort jemand Erwachsenen fragen: unattended (unbeaufsichtigt), hot-material (heißer Kunststoff), battery-area (bei Akkus). Leer: für all das; nothing: für nichts.
data-host-spares-on = Der Tag eines Treffens, etwa 2027-03-13, für eine Werkbank, die dort Ersatzstücke druckt. Leer: Sie druckt die ganze Saison.
data-printer-name = Der Name des Druckers. Jeder Name steht nur einmal in der Region.
data-printer-host = Das Kürzel der Schule, an der er steht.
data-printer-class = Das Kürzel seiner Art: wie groß sein Druckbett ist, und was er kann.
data-printer-materials = Kürzel der Kunststoffe, die er druckt, etwa PLA; PETG.
data-codes = Es gibt: { $codes }.
data-printer-unattended = Wer erlaubt hat, dass er unbeaufsichtigt läuft, und wo das steht. Leer: Er darf es nicht.
data-printer-start-failure = Wie oft ein Druck beim Start misslingt: 0.02 heißt 2 von 100.
data-printer-failures = Wie oft ein Druck danach in jeder Stunde misslingt: 0.01 heißt 1 von 100.
data-printer-sigma = Wie weit die Zeiten von Drucken auseinanderliegen: 0.1 heißt etwa 10 von 100.
data-printer-stays = Wann er an einer anderen Schule steht: Kürzel, erster Tag, letzter Tag, etwa oak-hill 2027-03-08 2027-03-12.
data-printer-battery = Das Wort yes, wenn er dort steht, wo Akkus liegen oder geladen werden. Leer: nein.
data-printer-agent = Wo sein MTConnect-Agent antwortet, etwa http://10.0.0.5:5000. Leer: Er hat keinen.
data-printer-device = Der Name oder die uuid, die der Agent für ihn hat. Leer, wenn er keinen Agenten hat.
data-printer-at-home = Für einen Drucker an so einer Werkbank: sein Name an seiner eigenen Schule, wo er an dem Tag fehlt. Leer: keiner.

data-new = neu
data-changed = geändert
data-taken-out = herausgenommen
data-wrong = falsch
data-not-in-file = Es ist nicht in der Datei.
data-becomes = { $column }: { $was } wird zu { $is }
data-nothing = nichts
data-quoted = „{ $text }“
data-line = Zeile { $n }
data-all-like-this = Jede Zeile ist schon so. Es gibt nichts zu tun.
data-lines-wrong =
    Noch nicht: { $n ->
        [0] Keine Zeile ist falsch.
        [one] Eine Zeile ist falsch.
       *[other] { $count } Zeilen sind falsch.
    }
data-needed = So nicht: Etwas wird gebraucht, wie es ist.
data-can-be-done = Das geht: { $counts }.
data-many-new = { $n } neu
data-many-changed = { $n } geändert
data-many-taken-out = { $n } herausgenommen

data-too-much = Das ist zu viel. Wähle eine Datei einer Tabelle.
data-not-whole = Die Datei ist nicht ganz angekommen. Schick sie noch einmal.
data-choose-table = Wähle, welche Tabelle es ist.
data-choose-file = Wähle die Datei der Tabelle.
data-not-ours = Dieses Formular war nicht von uns.
data-not-ours-do = Öffne die Seite mit den Tabellen der Region, und wähle dort die Datei.
data-changed-meanwhile = Es wurde nicht getan: Die Region, oder was von ihr gebraucht wird, hat sich inzwischen geändert. Das würde es jetzt tun.

data-plate = Platte { $plate }
data-plate-for = Platte { $plate } ({ $part } für { $team }, Anfrage { $request })
data-would-be-late = käme später als zugesagt. Behalte, was sie braucht, bis sie gedruckt ist.
data-made-nowhere = könnte nirgends gedruckt werden. Behalte, was sie braucht, bis sie gedruckt ist.
data-box-on-board = Die Box ist am { $at } losgefahren und soll am { $by } da sein. Behalte die Runde, die sie mitnimmt, bis sie da ist.
data-keeps-school = Platte { $plate } ist für ihren Empfang aufgeschrieben. Behalte die Schule und ihren Namen.
data-request-open = Anfrage { $request } des Teams ist offen, für den Empfang seiner Schule.
data-team-has-people = Leute sind dafür angemeldet. Lösche sie zuerst auf der Seite des Teams.
data-keeps-desk = Platte { $plate } ist für ihren Empfang aufgeschrieben. Gib einer Werkbank für Ersatzstücke eine eigene Schule, und behalte sie.
data-spare-promised = Das Ersatzstück { $number } ist für diesen Tag zugesagt. Warte, bis er vorbei ist.
data-host-has-spools = In ihrem Regal liegen Spulen. Schick sie zuerst weiter.
data-host-has-people = Leute arbeiten an ihrer Werkbank. Beende ihre Rollen zuerst auf der Seite der Leute.
data-timed-for-name =
    { $n ->
        [one] Eine wartende Platte ist
       *[other] { $n } wartende Platten sind
    } für einen anderen Drucker mit diesem Namen berechnet. Gib ihm einen neuen Namen.
data-plate-runs = Platte { $plate } läuft auf ihm. Warte, bis sie herunter ist.
data-plate-at-bench = Was auf ihm als Platte { $plate } gedruckt wurde, hat seine Werkbank noch nicht verlassen.
data-made-by = Was er gedruckt hat, ist als von { $printer } gemacht aufgeschrieben. Behalte das.
data-timed-for-class =
    { $n ->
        [one] Eine wartende Platte ist
       *[other] { $n } wartende Platten sind
    } für seine Klasse berechnet. Füge ihn stattdessen unter einem neuen Namen hinzu.
data-spool-on-it = Auf ihm ist eine Spule. Nimm sie zuerst ab.
data-line-wrong = Zeile { $line }, { $field }: { $what }
data-zone-promised =
    { $n ->
        [one] Eine Zusage wurde
       *[other] { $n } Zusagen wurden
    } nach der Uhr der jetzigen Zeitzone gegeben. Lass sie, bis das vorbei ist.
data-would-erase = Leute der Teams würden sofort gelöscht. Schreib einen späteren Tag, oder mehr keep_people_days.
