### Wie Programme fragen: eine Seite für Leute

api-title = Für Programme
api-heading = Was die Seiten können, können Programme auch.
api-lead = Ein Programm fragt in deinem Namen, in einer deiner Rollen, mit einem Zugangsschlüssel, den du anlegst und stoppen kannst.
api-make-token = Einen Zugangsschlüssel anlegen
api-open-account-html = Öffne <a href="/account#programs">dein Konto</a>, und such „Programme und Kalender“.
api-sign-in-html = <a href="/start">Melde dich an</a>, öffne dein Konto, und such „Programme und Kalender“.
api-name-it = Gib ihm einen Namen, der sagt, wo er benutzt wird. Wähle eine deiner Rollen und wie lange er gilt.
api-copy-it = Kopiere ihn. Er wird nur dieses eine Mal gezeigt. Wir behalten nur seinen Hash. Wer ihn hat, kann tun, was deine Rolle kann: Schreib ihn nicht in Dateien, die andere lesen.
api-examples = Drei Beispiele
api-send-a-part = Ein Teil schicken, als Team:
api-claim-html = Mit <code>claim</code> sagst du, mit welchem Recht es gedruckt wird: <code>own</code>, wenn das Team es gezeichnet hat, sonst <code>licence</code> oder <code>permission</code>. Bei diesen beiden sagt <code>claim_words</code>, welche Lizenz es ist oder wer es erlaubt hat: nach dem, was die Person tut, nicht mit Namen.
api-read-sheet = Den Arbeitszettel von heute lesen, an einer Werkbank:
api-say-started = Sagen, dass eine Platte vor zehn Minuten gestartet wurde:
api-every-address = Jede Adresse
api-all-in-html = Alles davon, mit Feldern und Fehlern, steht auf Englisch in <a href="/api/v1/openapi.json">openapi.json</a> (OpenAPI 3.1).
api-table = Tabelle der Adressen
api-address = Adresse
api-what-for = Wofür
api-problems = Wenn etwas nicht stimmt
api-problems-html = Jeder Fehler ist ein „problem“ nach RFC 9457: <code>type</code> und <code>code</code> ändern sich nie, <code>title</code> sagt, was los ist, <code>detail</code>, was zu tun ist. Was mit demselben Idempotency-Key noch einmal geschickt wird, wird nur einmal getan. Listen kommen in Seiten: Frag noch einmal, mit <code>cursor</code> gleich <code>next</code>.
