### inspect: Stück für Stück geprüft

inspect-title = Platte { $plate }, Stück für Stück
inspect-held = { $label }. Sag von jedem Stück, das angehalten oder zurückgerufen wurde, ob es gut ist.
inspect-off = { $label }. Was du nacharbeitest, bleibt angehalten: Seine Kiste wartet, bis du sagst, dass es gut oder Ausschuss ist.
inspect-measure = Miss jedes Maß, das unten genannt ist, und schreib auf, was du abliest, in Millimetern. Lass das Teil erst abkühlen, mach die Stelle sauber, schließ den Messschieber sanft und lies zweimal ab. Ein Stück außerhalb seiner Grenzen kann nicht gut sein.
inspect-still-here = Was du getippt hast, ist noch da. Es wurde noch nichts aufgeschrieben.
inspect-was-outside = Ein Maß lag außerhalb seiner Grenzen: Das Stück ist erst gut, wenn das noch einmal gemessen ist.
inspect-size-mm = { $size }, mm
inspect-good-limits = Gut { $limits }
inspect-cannot-measure = Das lässt sich nicht messen
inspect-why-not = Warum nicht? Das Team liest das.
inspect-choose = Wähle
inspect-good = Gut
inspect-rework = Nacharbeit
inspect-scrap = Ausschuss
inspect-if-not-good = Wenn es nicht gut ist, warum?
inspect-copy = { $part }: Stück { $copy }
inspect-form-off = Vom Druckbett, Stück für Stück: Platte { $plate }
inspect-form-copy = Stück { $copy } von Platte { $plate }
inspect-off-the-bed = Vom Druckbett
inspect-say-so = So sagen
inspect-scrap-differs = Was nicht gut ist, wird von einem Teil darauf neu gemacht, von einem anderen nicht.
inspect-limits = von { $least } bis { $most } mm
inspect-too-large = { $mm } mm zu groß
inspect-too-small = { $mm } mm zu klein

inspect-none = Von dieser Platte ist kein Stück angehalten oder zurückgerufen.
inspect-outside-held = Stück { $copy }, { $what }: { $outside }. Ändere es und miss es noch einmal, sonst ist es Ausschuss.
inspect-outside = Stück { $copy }, { $what }: { $outside }. Nacharbeit oder Ausschuss?
inspect-outside-before = Stück { $copy }, { $what }: Es war { $outside }. Miss es noch einmal: Kein Grund hilft.
inspect-not-measured = Stück { $copy }, { $what }: Miss es, oder sag, warum das nicht geht.
inspect-not-a-size = Stück { $copy }, { $what }: „{ $text }“ ist kein Maß. Schreib es wie 8,05.
