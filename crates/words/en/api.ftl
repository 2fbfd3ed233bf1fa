### How programs ask: a page for people

api-title = For programs
api-heading = What the pages do, programs can do too.
api-lead = A program asks in your name, in one of your roles, with a token that you make and can stop.
api-make-token = Make a token
api-open-account-html = Open <a href="/account#programs">your account</a>, and look for “Programs and calendars”.
api-sign-in-html = <a href="/start">Sign in</a> and open your account, and look for “Programs and calendars”.
api-name-it = Give it a name that tells where it is used, choose one of your roles and how long it lasts.
api-copy-it = Copy it. It is shown this once; we keep only its hash. Whoever has it can do what your role can: keep it out of files that others read.
api-examples = Three examples
api-send-a-part = Send a part, as a team:
api-claim-html = With <code>claim</code> you say by what right it is printed: <code>own</code> when the team drew it, <code>licence</code> or <code>permission</code> otherwise. For those two, <code>claim_words</code> says which licence, or who allowed it: by what they do, not by name.
api-read-sheet = Read today’s run sheet, at a bench:
api-say-started = Say that a plate was started ten minutes ago:
api-every-address = Every address
api-all-in-html = All of it, with fields and errors, is in <a href="/api/v1/openapi.json">openapi.json</a> (OpenAPI 3.1).
api-table = Table of addresses
api-address = Address
api-what-for = What for
api-problems = When something is wrong
api-problems-html = Every error is a problem as RFC 9457 has it: <code>type</code> and <code>code</code> never change, <code>title</code> says what is the matter, <code>detail</code> what to do. A deed sent again with the same Idempotency-Key is done once. Lists come in pages: ask again with <code>cursor</code> set to <code>next</code>.
