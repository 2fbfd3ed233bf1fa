### recalls

recalls-title = Stücke zurückrufen
recalls-lead = Wenn ein Drucker verstellt war oder eine alte Datei gedruckt wurde. Du siehst, um welche Stücke es geht, bevor etwas getan wird.
recalls-waits = { $n ->
    [one] { $count } Stück muss geprüft werden.
   *[other] { $count } Stück müssen geprüft werden.
}
recalls-still-made = Noch kann nichts geprüft werden: es wird erst gemacht.
recalls-was-lifted = Dieser Rückruf wurde aufgehoben.
recalls-nothing-left = Es ist nichts mehr zu prüfen.
recalls-recalled = { $what } Zurückgerufen: { $day } um { $time }.
recalls-day-time = { $day }, { $time }
recalls-made-on = Gemacht auf { $printer } ab { $from } bis { $until }.
recalls-made-of = Gemacht aus der Datei von Teil { $number }, die Teil { $newer } ersetzt hat.
recalls-because-printer = { $n ->
    [one] Der Drucker { $printer } war nicht in Ordnung, als es gemacht wurde.
   *[other] Der Drucker { $printer } war nicht in Ordnung, als sie gemacht wurden.
}
recalls-because-file = { $n ->
    [one] Es ist aus einer älteren Datei; Teil { $newer } hat die neuere.
   *[other] Sie sind aus einer älteren Datei; Teil { $newer } hat die neuere.
}
recalls-measure = Sieh genau hin: miss, was passen muss, such nach Lücken zwischen den Schichten, bieg es ein wenig.
recalls-made-again = Was nicht gut ist, wird noch einmal gemacht, mit der Zusage, die es hatte, wenn die noch offen ist.
recalls-not-made-again = Was nicht gut ist, wird nicht noch einmal gemacht.
recalls-not-of-old-file = Was nicht gut ist, wird nicht noch einmal aus der alten Datei gemacht: Teil { $newer } hat die neuere.
recalls-first-now = Antworte jetzt zum ersten Grund. Danach wird nach dem nächsten gefragt.
recalls-at-host = { $n } in der Druckschule
recalls-in-box = { $n } in einer Kiste
recalls-on-the-way = { $n } unterwegs
recalls-with-team = { $n } beim Team
recalls-being-made = { $n } noch in Arbeit
recalls-good = { $n } geprüft und gut
recalls-bad = { $n } geprüft und nicht gut
recalls-need-not = { $n } ohne nötige Prüfung
recalls-gone = { $n } Ausschuss, verloren oder neu gemacht
recalls-counts = { $n ->
    [one] { $n } Stück: { $counts }.
   *[other] { $n } Stück: { $counts }.
}
recalls-stay = Was noch kein Team hat, bleibt, wo es ist: die Kisten gehen nicht los, und die Werkbank prüft jedes Stück.
recalls-teams-told = Teams, die welche haben, erfahren, dass sie diese nicht benutzen sollen, bis jemand sie geprüft hat. Sie sagen, was sie gefunden haben.
recalls-later = Was später vom Druckbett kommt und auch dazugehört, wird dann zurückgerufen.
recalls-making-and-later = Was noch gemacht wird, wird geprüft, sobald es vom Druckbett und gut ist. Was später kommt und auch dazugehört, wird dann zurückgerufen.
recalls-goes-out = { $printer } ist bis { $until } außer Betrieb. Was darauf geplant ist, kommt woandershin.
recalls-prints-on = { $printer } druckt weiter. Was nach { $until } darauf anfängt, wird nicht zurückgerufen.
recalls-copies = { $n ->
    [one] { $count } Stück
   *[other] { $count } Stück
}
recalls-verdict = { $n ->
    [one] Zurückrufen würdest du { $copies } von { $count } Teil: { $counts }.
   *[other] Zurückrufen würdest du { $copies } von { $count } Teilen: { $counts }.
}
recalls-not-done = Noch ist nichts getan: das würde geschehen

recalls-nothing-is-done = Noch ist nichts getan.
recalls-do = Diese Stücke zurückrufen
recalls-open = Offene Rückrufe
recalls-none-open = Kein Rückruf ist offen.
recalls-drifted = Ein Drucker war verstellt
recalls-drifted-lead = Es geht um jedes Stück, das gut ist oder noch gemacht wird, von einer Platte, die in dieser Zeit irgendwann auf ihm lief.
recalls-printer = Drucker
recalls-choose-one = Wähle einen
recalls-from-day = Ab welchem Tag
recalls-from-time = Ab wie viel Uhr
recalls-from-time-hint = Leer: ab dem Anfang des Tages.
recalls-until-day = Bis zu welchem Tag
recalls-until-time = Bis wie viel Uhr
recalls-until-time-hint = Leer: bis zum Ende des Tages.
recalls-out = Wird der Drucker außer Betrieb genommen?
recalls-out-hint = Solange er druckt, macht er vielleicht noch mehr, das zurückgerufen werden muss. Was jetzt darauf läuft, läuft weiter.
recalls-out-yes = Ja, außer Betrieb bis
recalls-out-no = Nein, er druckt weiter
recalls-show = Zeigen, welche Stücke
recalls-old-file = Eine alte Datei wurde gedruckt
recalls-old-file-lead = Es geht um jedes Stück, das gut ist oder noch gemacht wird, von einem Teil, dessen Datei eine neuere ersetzt hat.
recalls-number = Die Nummer des Teils mit der alten Datei
recalls-ended = Beendete Rückrufe
recalls-all = Alle Rückrufe
recalls-part-by-part = Teil für Teil
recalls-lift-title = Aufheben
recalls-lifting = Was noch niemand geprüft hat, ist wie vorher: Kisten dürfen los, und Teams erfahren, dass sie benutzen dürfen, was sie haben. Was schon neu gemacht wird, bleibt so.
recalls-lift = Diesen Rückruf aufheben

recalls-out-missing = Sag, ob der Drucker außer Betrieb genommen wird.
recalls-give-number = Gib die Nummer eines Teils an, zum Beispiel 7.
recalls-choose-printer = Wähle den Drucker.
recalls-give-time = Gib eine Zeit wie 14:30 an, oder lass es leer.
recalls-give-first-day = Gib den Tag an, ab dem er verstellt war.
recalls-give-last-day = Gib den letzten Tag an, an dem er verstellt war.
recalls-not-to-come = Gib eine Zeit an, die nicht erst noch kommt.
recalls-end-after-start = Gib ein Ende an, das nach dem Anfang kommt.
recalls-error-do = { $error }. { $todo }
recalls-no-copy-of-part = Von diesem Teil gibt es kein Stück, das zurückgerufen werden kann. Sieh dir die Nummer an. Was schon zurückgerufen wurde, wird es nicht zweimal.
recalls-no-copy-then = Es gibt kein Stück, das zurückgerufen werden kann. Sieh dir den Drucker und die Zeiten an. Was schon zurückgerufen wurde, wird es nicht zweimal.
recalls-no-such = Diesen Rückruf gibt es nicht.
recalls-nothing-said = Es wurde nichts gesagt.
recalls-use-buttons = Geh zurück und benutze einen der Knöpfe.
