### outbox

outbox-title = The outbox
outbox-on = E-mail is on
outbox-off = E-mail is off: nothing is sent
outbox-on-lead = Adults get what they chose on their account page. Nothing goes out between 20:00 and 7:00. Students get no e-mail.
outbox-off-lead = Below is every message that would be sent. Whoever runs the server can switch e-mail on. Students get no e-mail.
outbox-none = Nothing here. Messages are made at 7:00 on days when a bench has people, from what was not seen by then.
outbox-to = To { $name }, { $address }
outbox-made-morning = Of the morning, made { $at }
outbox-made-urgent = Urgent, made { $at }
outbox-again-html = Send it again<span class="hush">: { $subject }, to { $name }</span>
outbox-body-html = What it says<span class="hush">: { $subject }, to { $name }</span>
outbox-kept = The last 200 messages. They are kept for 30 days. One that was given up may have gone: sent again, it may come twice.

outbox-state-kept = { $n ->
    [0] Kept
    [one] Kept after { $n } try
   *[other] Kept after { $n } tries
}
outbox-state-going = On its way
outbox-state-sent = Sent { $at }
outbox-state-failed = { $n ->
    [0] Given up
    [one] Given up after { $n } try
   *[other] Given up after { $n } tries
}

outbox-why-cut-off = The server stopped while it was being sent. We can’t tell if it went.
outbox-why-too-late = It could not be sent for a day.
outbox-why-unwanted = They want no e-mail.
outbox-why-no-answer = No answer: we can’t tell if it went. { $said }
outbox-why-not-reached = The mail server was not reached.
outbox-why-silent = The mail server was silent for too long.
outbox-why-no-tls = The mail server did no TLS.
outbox-why-said = The mail server said { $code }.
