### reasons

reasons-few-printers = Only { $able } of { $of } printers can make it: large enough, for this material, and with enough hours.
reasons-starts-later = { $printer } is free, with somebody there to start it, on { $start }.
reasons-waits-for-people = It is done by { $end }; somebody takes it off on { $cleared }.
reasons-waits-for-leg = The box is ready on { $ready }; it reaches you on { $arrives }.
reasons-room-for-reprint = If nothing fails it comes on { $nominal } ({ $n } in 10); the pledge leaves room for a reprint.
reasons-room-for-delay = If nothing fails it comes on { $nominal } ({ $n } in 10); the pledge leaves room for a slow print, or for somebody who comes late.
reasons-way-on = on { $printer } at { $host }
reasons-way-plates = { $n ->
    [one] all on one plate, on { $printer } at { $host }
   *[other] on { $n } plates, on { $printer } at { $host }
}
reasons-no-plastic = No printer that takes { $material } is free, with somebody there, before { $at }.
reasons-no-bed = No bed over { $mm } mm is free, with somebody there, before { $at }.
reasons-no-bed-of = No bed over { $mm } mm that takes { $material } is free, with somebody there, before { $at }.
reasons-all-closed = Schools are closed from { $from } to { $to } ({ $reason }).
reasons-all-closed-day = Schools are closed on { $day } ({ $reason }).
reasons-host-closed = { $host } is closed from { $from } until { $until } ({ $reason }).
reasons-travels = { $printer } travels: it is at { $host } from { $from } on.
reasons-no-room = No printer with enough room is free, with somebody there, before { $at }.
reasons-asked-for = You asked for { $by }; that can't be promised.
reasons-joins = It goes on plate { $plate }, which is planned already with other parts.
reasons-in-other-plastic = in { $material } instead of { $own }, on { $printer } at { $host }
reasons-fewer-first-rest-later = { $n } of the { $copies } copies first, by { $by }; the rest later, all of them then
reasons-fewer-first-rest-by = { $n } of the { $copies } copies first, by { $by }; the rest later; you have all of them by { $all }
reasons-fewer-first-both = { $n } of the { $copies } copies and the rest as two promises, both by { $by }
reasons-fewer-first-no-rest = { $n } of the { $copies } copies first, by { $by }; for the rest no day can be promised
reasons-fetched = fetched by you at { $host }, made there on { $printer }
