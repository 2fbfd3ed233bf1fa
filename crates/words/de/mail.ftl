### mail

mail-subject = { $n ->
    [one] Partpledge: { $n } Nachricht
   *[other] Partpledge: { $n } Nachrichten
}
mail-subject-urgent = { $n ->
    [one] Partpledge, dringend: { $n } Nachricht
   *[other] Partpledge, dringend: { $n } Nachrichten
}
mail-morning = Guten Morgen. Das hast du noch nicht gesehen.
mail-urgent = Das ist dringend, darum bekommst du es sofort.
mail-more = { $n ->
    [one] Eine weitere steht auf der Seite deiner Nachrichten.
   *[other] { $n } weitere stehen auf der Seite deiner Nachrichten.
}
mail-choose = Auf der Seite deines Kontos wählst du, was wir dir schicken.
