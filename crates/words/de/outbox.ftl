### outbox

outbox-title = Der Postausgang
outbox-on = E-Mail ist an
outbox-off = E-Mail ist aus: Es wird nichts geschickt
outbox-on-lead = Erwachsene bekommen, was sie auf der Seite ihres Kontos gewählt haben. Zwischen 20:00 und 7:00 Uhr geht nichts hinaus. Teammitglieder bekommen keine E-Mail.
outbox-off-lead = Hier steht jede E-Mail, die geschickt würde. Wer den Server betreibt, kann E-Mail anschalten. Teammitglieder bekommen keine E-Mail.
outbox-none = Hier ist nichts. E-Mails entstehen um 7:00 Uhr an Tagen, an denen eine Werkbank besetzt ist, aus dem, was bis dahin niemand gesehen hat.
outbox-to = An { $name }, { $address }
outbox-made-morning = Vom Morgen, erstellt { $at }
outbox-made-urgent = Dringend, erstellt { $at }
outbox-again-html = Noch einmal schicken<span class="hush">: { $subject }, an { $name }</span>
outbox-body-html = Was darin steht<span class="hush">: { $subject }, an { $name }</span>
outbox-kept = Die letzten 200 E-Mails. Sie werden 30 Tage lang aufgehoben. Eine aufgegebene kann doch angekommen sein: Noch einmal geschickt, kommt sie vielleicht doppelt an.

outbox-state-kept = { $n ->
    [0] Aufgehoben
    [one] Aufgehoben nach { $n } Versuch
   *[other] Aufgehoben nach { $n } Versuchen
}
outbox-state-going = Unterwegs
outbox-state-sent = Geschickt { $at }
outbox-state-failed = { $n ->
    [0] Aufgegeben
    [one] Aufgegeben nach { $n } Versuch
   *[other] Aufgegeben nach { $n } Versuchen
}

outbox-why-cut-off = Der Server hielt an, während die E-Mail hinausging. Wir wissen nicht, ob sie ankam.
outbox-why-too-late = Sie konnte einen Tag lang nicht geschickt werden.
outbox-why-unwanted = Hier ist keine E-Mail gewünscht.
outbox-why-no-answer = Keine Antwort: Wir wissen nicht, ob sie ankam. { $said }
outbox-why-not-reached = Der Mailserver war nicht zu erreichen.
outbox-why-silent = Der Mailserver hat zu lange nicht geantwortet.
outbox-why-no-tls = Der Mailserver konnte kein TLS.
outbox-why-said = Der Mailserver hat mit { $code } geantwortet.
