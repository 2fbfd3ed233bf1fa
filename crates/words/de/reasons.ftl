### reasons

reasons-few-printers = Nur { $able } von { $of } Druckern können es machen: groß genug, für diesen Kunststoff und lange genug besetzt.
reasons-starts-later = { $printer } ist frei, mit jemandem zum Starten, am { $start }.
reasons-waits-for-people = Es ist fertig am { $end }; jemand nimmt es am { $cleared } herunter.
reasons-waits-for-leg = Die Kiste ist am { $ready } bereit; bei dir ist sie am { $arrives }.
reasons-room-for-reprint = Wenn nichts misslingt, kommt es am { $nominal } (in { $n } von 10 Fällen); die Zusage lässt Zeit für einen zweiten Druck.
reasons-room-for-delay = Wenn nichts misslingt, kommt es am { $nominal } (in { $n } von 10 Fällen); die Zusage lässt Zeit, falls ein Druck länger dauert oder jemand später kommt.
reasons-way-on = auf { $printer } bei { $host }
reasons-way-plates = { $n ->
    [one] alles auf einer Platte, auf { $printer } bei { $host }
   *[other] auf { $n } Platten, auf { $printer } bei { $host }
}
reasons-no-plastic = Vor { $at } ist kein Drucker für { $material } frei, bei dem jemand da ist.
reasons-no-bed = Vor { $at } ist kein Druckbett über { $mm } mm frei, bei dem jemand da ist.
reasons-no-bed-of = Vor { $at } ist kein Druckbett über { $mm } mm für { $material } frei, bei dem jemand da ist.
reasons-all-closed = Die Schulen sind von { $from } bis { $to } geschlossen ({ $reason }).
reasons-all-closed-day = Die Schulen sind am { $day } geschlossen ({ $reason }).
reasons-host-closed = { $host } ist von { $from } bis { $until } geschlossen ({ $reason }).
reasons-travels = { $printer } reist: ab { $from } steht er bei { $host }.
reasons-no-room = Vor { $at } ist kein Drucker mit genug Platz frei, bei dem jemand da ist.
reasons-asked-for = Du wolltest es bis { $by }; das kann nicht zugesagt werden.
reasons-joins = Es kommt auf Platte { $plate }, die schon mit anderen Teilen geplant ist.
reasons-in-other-plastic = in { $material } statt { $own }, auf { $printer } bei { $host }
reasons-fewer-first-rest-later = { $n } der { $copies } Stück zuerst, bis { $by }; der Rest später, dann sind alle da
reasons-fewer-first-rest-by = { $n } der { $copies } Stück zuerst, bis { $by }; der Rest später; alle hast du bis { $all }
reasons-fewer-first-both = { $n } der { $copies } Stück und der Rest als zwei Zusagen, beide bis { $by }
reasons-fewer-first-no-rest = { $n } der { $copies } Stück zuerst, bis { $by }; für den Rest kann kein Tag zugesagt werden
reasons-fetched = von dir abgeholt bei { $host }, dort gemacht auf { $printer }
