### client: was Skripte sagen. Je eine Zeile, ohne Auswahl: Seiten geben sie weiter, wie sie hier stehen.

client-do-now = Das ist jetzt dran
client-done = Erledigt { $time }. Noch nicht geschickt
client-failed = Misslungen { $time }. Noch nicht geschickt
client-all-sent = Alles ist geschickt.
client-not-yet-sent = Noch nicht geschickt: { $n }.
client-unsent = Noch nicht geschickt ({ $n })
client-no-network = Kein Netz
client-as-it-was = Kein Netz. Dieser Arbeitszettel ist so, wie er um { $time } war. Arbeite weiter: Was du abhakst, bleibt hier und geht hinaus, sobald das Netz wieder da ist.
client-signed-out = Du bist abgemeldet oder als jemand anderes hier. Was du abgehakt hast, bleibt hier. Melde dich neu an, um es zu schicken.
client-some-refused = Einiges wurde nicht angenommen. Es bleibt hier, bis du es wegnimmst.
client-by-themselves = Das geht von selbst hinaus.
client-later = Wir schicken es noch einmal.
client-sign-in-to-send = Melde dich neu an, um es zu schicken.
client-refused = Es wurde nicht angenommen.
client-sign-in = Neu anmelden
client-send-now = Jetzt schicken
client-try-again = Noch einmal versuchen
client-take-off = Wegnehmen
client-code-missing = Gib den Code der Kiste ein, oder wähle, warum es keinen gibt.

client-too-large = { $mm } mm zu groß
client-too-small = { $mm } mm zu klein
client-outside = Es ist { $by }. Nacharbeit oder Ausschuss?
client-outside-again = Es ist { $by }. Ändere es und miss es noch einmal, sonst ist es Ausschuss.
client-was-outside = Es lag außerhalb seiner Grenzen. Miss es noch einmal.
client-measure-it = Miss es, oder sag, warum das nicht geht.
client-no-size = „{ $text }“ ist kein Maß. Schreib es wie 8,05.

client-layer = { $n } von { $all }
client-layer-height = Schicht { $n } von { $all }, { $mm } mm über dem Druckbett
client-layer-missing = Die Schicht konnte nicht geholt werden. Bewege den Regler, um es noch einmal zu versuchen.

client-byte = 1 Byte
client-bytes = { $n } Bytes
client-file-too-large = { $name } hat { $size }, und wir nehmen bis zu 100 MB. Schick sie mit weniger Dreiecken oder in mehreren Teilen.
client-files-too-large = Zusammen haben diese Dateien { $size }, und wir nehmen bis zu 100 MB auf einmal. Schick sie in zwei Runden.

client-the-part = Das Teil
client-keys = { $part }. Pfeiltasten drehen es, mit der Umschalttaste schieben sie es, Plus und Minus holen es näher oder weiter weg, 0 stellt es zurück.
client-part-too-large = Dieses Teil ist zu groß, um es hier zu drehen: Seine Datei hat mehr als 25 MB. Das Bild zeigt, wie es stehen wird.
client-whole = Das Teil ist wieder ganz.
client-cut = Schnitt bei { $mm } mm { $from }.
client-lower-stays = Die untere Seite bleibt.
client-upper-stays = Die obere Seite bleibt.
client-left-stays = Die linke Seite bleibt.
client-right-stays = Die rechte Seite bleibt.
client-front-stays = Die vordere Seite bleibt.
client-back-stays = Die hintere Seite bleibt.
client-first-place = Zeig auf die erste Stelle.
client-second-place = Der erste Punkt steht. Zeig auf den zweiten.
client-nothing-there = Da ist nichts. Zeig auf das Teil selbst.
client-cleared = Gelöscht. Zeig auf die erste Stelle.
client-apart = { $mm } auseinander.
client-within = Das Teil wird mit weniger Dreiecken gezeigt, als es hat. Was du siehst, weicht höchstens { $mm } mm davon ab.

client-passkey-not-done = Es ist nichts passiert: Dein Gerät hat keinen Passkey gegeben. Versuch es noch einmal, oder mach mit deinem Passwort weiter.
client-passkey-known = Dieses Gerät hat schon einen Passkey für dich.
client-passkey-no-answer = Wir haben keine Antwort bekommen. Prüfe, ob du online bist, und versuch es noch einmal.
