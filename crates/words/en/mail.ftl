### mail

mail-subject = { $n ->
    [one] Partpledge: { $n } notice
   *[other] Partpledge: { $n } notices
}
mail-subject-urgent = { $n ->
    [one] Partpledge, urgent: { $n } notice
   *[other] Partpledge, urgent: { $n } notices
}
mail-morning = Good morning. This is what you have not seen yet.
mail-urgent = This is urgent, so you get it at once.
mail-more = { $n ->
    [one] There is { $n } more on the page of your notices.
   *[other] There are { $n } more on the page of your notices.
}
mail-choose = You choose on your account page what we send you.
