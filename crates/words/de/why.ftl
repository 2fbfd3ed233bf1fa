### why

why-here-now = Warum hier, warum jetzt
why-what-change = Was sich ändern müsste
why-each-line = Jede Zeile allein würde die Zusage halten; die kleinste steht zuerst. Wir haben jede beim Planen ausprobiert.
why-no-other = Warum auf keinem anderen Drucker
why-see-others = Die anderen Drucker ansehen
why-no-place = Sie hat keinen Platz im Plan.
why-no-place-yet = Es hat noch keinen Platz im Plan.
why-no-single-change = Keine einzelne Änderung hält die Zusage: wir haben andere Plätze, andere Stunden und andere Wege ausprobiert.
why-late-nowhere = Sie war für { $at } zugesagt und hat keinen Platz im Plan.
why-late-nowhere-at = Sie war für { $at } bei { $place } zugesagt und hat keinen Platz im Plan.
why-late = Sie war für { $at } zugesagt. So wie geplant kommt sie { $by } zu spät.
why-late-at = Sie war für { $at } bei { $place } zugesagt. So wie geplant kommt sie { $by } zu spät.
why-cause-not-released = die Druckschule braucht Zeit zum Vorbereiten
why-cause-nobody = bei { $host } ist niemand da
why-cause-nobody-stays = er würde noch drucken, wenn alle gehen, und darf nicht allein laufen
why-cause-out = er ist außer Betrieb
why-cause-taken = Platte { $plate } ist darauf
why-cause-too-short = vor Platte { $plate } ist darauf nicht genug Zeit
why-cause-changing = erst muss ein anderes Filament hinein
why-cause-no-hands = bei { $host } hat niemand mehr Zeit zum Starten
why-cause-no-filament = bei { $host } ist dieses Filament knapp
why-cause-on-its-way = er ist unterwegs zwischen Druckschulen
why-cause-sooner = von dort, wo der Drucker als Nächstes hinkommt, kommt es früher an
why-cause-rule = er oder seine Druckschule ist belegt
why-not-earlier = Nicht früher: { $cause }.
why-named-taken = Platte { $plate } ist auf { $printer }
why-named-too-short = { $printer } hat vor Platte { $plate } nicht genug Zeit
why-named-nobody-stays = der Druck liefe noch, wenn alle gehen, und { $printer } darf nicht allein laufen
why-named-out = { $printer } ist außer Betrieb
why-named-changing = erst muss ein anderes Filament in { $printer }
why-named-on-its-way = { $printer } ist unterwegs zwischen Druckschulen
why-named-sooner = von dort, wo { $printer } als Nächstes hinkommt, kommt es früher an
why-named-rule = { $printer } oder die Druckschule ist belegt
why-only = Nur { $printer } kann sie machen.
why-was-earliest = Sie kam auf { $printer }, als das am frühesten war.
why-others-not-earlier = { $n ->
    [one] Ein anderer Drucker könnte sie machen, aber nicht früher als { $printer }.
   *[other] { $n } andere Drucker könnten sie machen, aber keiner früher als { $printer }.
}
why-until = { $cause }: bis { $at }.
why-as-soon-as-it-can = Sie startet, sobald es geht.
why-taken-off = Sie ist am { $done } fertig; am { $off } kommt jemand und nimmt sie herunter.
why-box-waits = Die Kiste ist am { $ready } bereit; der nächste Weg dorthin kommt am { $there } an.
why-came-free = Seit sie geplant wurde, ist Zeit frei geworden: sie könnte am { $at } starten.
why-verdict-material = nicht für diesen Kunststoff
why-verdict-small = zu klein dafür
why-verdict-spares = für Ersatzteile beim Treffen bestimmt
why-verdict-for-others = die Schule dort hat es weitergegeben, oder das Programm ist für eine andere Art Drucker
why-verdict-nobody-stays = darf nicht allein laufen; es dauert { $takes }, und es bleibt höchstens { $longest } jemand da
why-verdict-no-slot = keine Zeit frei, oder kein Weg dorthin
why-verdict-earlier = inzwischen früher: sie käme am { $at }
why-verdict-same = sie käme zur gleichen Zeit
why-verdict-later-leg = der Weg von dort ist später; sie käme am { $at }
why-verdict-starts-later = bis { $until }: { $cause }; sie käme am { $at }
why-verdict-longer = dort dauert es länger, und sie käme am { $at }
why-waits-ready = erst wird es vorbereitet
why-waits-nobody = vorher ist niemand da
why-waits-nobody-stays = der Druck liefe noch, wenn alle heimgehen, und der Drucker darf nicht allein laufen
why-waits-out = vorher ist der Drucker außer Betrieb
why-waits-others = vorher werden andere Teile gedruckt
why-waits-changing = erst muss das Filament gewechselt werden
why-waits-no-hands = vorher werden dort andere Teile gestartet
why-waits-filament = es wird auf mehr Filament gewartet
why-waits-on-its-way = vorher ist der Drucker unterwegs
why-waits-rule = vorher sind der Drucker oder die Leute dort belegt
why-starts = Es startet auf { $printer } bei { $host }, am { $at }.
why-starts-because = Es startet auf { $printer } bei { $host }, am { $at }: { $because }.
why-then-waits = Dann wartet es auf seinen Weg zu dir, ab { $at }.
why-no-other-can = Kein anderer Drucker hier kann es machen.
why-other-came-free = Inzwischen ist ein anderer Drucker frei geworden; der nächste Plan nutzt ihn vielleicht.
why-none-earlier = Auf keinem anderen Drucker wäre es früher da.
why-asked-other-place = Es ist später geplant als zugesagt. Damit die Zusage hält, muss es zu einer anderen Zeit oder auf einen anderen Drucker, und das ginge.
why-asked-make-room = Es ist später geplant als zugesagt. Damit die Zusage hält, muss ein anderes Teil Platz machen und wäre selbst noch pünktlich.
why-asked-ride-waits = Es ist später geplant als zugesagt. Damit die Zusage hält, muss die Fahrt der Kiste von { $from } am { $at } noch { $by } warten.
why-asked-hour-more = Es ist später geplant als zugesagt. Damit die Zusage hält, muss jemand eine Stunde mehr bei { $place } sein, ab { $at }.
why-asked-printer-back = Es ist später geplant als zugesagt. Damit die Zusage hält, muss { $printer } wieder laufen.
why-asked-run-alone = Es ist später geplant als zugesagt. Damit die Zusage hält, muss { $printer } allein laufen dürfen, und das kann nur die Schule entscheiden.
why-asked-several = Es ist später geplant als zugesagt. Damit die Zusage hält, müssen mehrere andere Teile die Plätze tauschen.
why-keeps-other-place = Verlege sie auf { $printer } bei { $host }, am { $at }: sie käme am { $comes }. Keine andere Platte bewegt sich.
why-keeps-move-plate = Verlege Platte { $plate } auf { $to }, am { $then }: dann geht diese auf { $printer }, am { $at }, und käme am { $comes }. Die Zusage von Platte { $plate } leidet nicht.
why-keeps-hour-more = Wenn jemand von { $from } bis { $until } bei { $place } ist: sie käme am { $comes }.
why-keeps-printer-back = Wenn { $printer } jetzt wieder läuft: sie käme am { $comes }.
why-keeps-run-alone = Wenn { $printer } allein laufen dürfte, was nur die Schule entscheiden kann: sie käme am { $comes }.
why-keeps-several = { $n ->
    [one] Wenn eine andere Platte verlegt wird: sie käme am { $comes }. Keine Zusage, die hält, leidet.
   *[other] Wenn { $n } andere Platten verlegt werden: sie käme am { $comes }. Keine Zusage, die hält, leidet.
}
why-because-failed = Platte { $plate } ist auf { $printer } misslungen, { $at } ({ $reason })
why-because-out = { $printer } ist außer Betrieb ({ $reason })
why-because-closed = { $school } ist geschlossen ({ $reason })
why-because-must-stop = Platte { $plate } auf { $printer } wird nicht fertig, bevor alle gehen ({ $at }), und niemand hat erlaubt, dass er allein läuft
why-because-not-started = Platte { $plate } wurde nicht gestartet, { $at }
why-because-runs-long = Platte { $plate } läuft auf { $printer } länger, als sie sollte
why-because-not-told = Platte { $plate } lief auf { $printer }, als alle gingen ({ $at }), und niemand hat gesagt, was daraus wurde
why-because-scrap = nicht alle Stücke von Platte { $plate } waren gut
why-because-box-again = der Inhalt von Kiste { $share } wird neu gemacht ({ $why })
why-because-missed = seine Kiste ist nicht losgegangen, { $at }: { $why }
why-because-no-word = niemand hat gesagt, dass es angekommen ist
why-because-crowded = andere Platten waren vorher dran
why-because-on = am { $at }
why-keeps-leg-waits = Wenn { $kind ->
        [counter] die Übergabe
        [courier] die Botenrunde
       *[meeting] die Kiste für das Treffen
    } von { $from } am { $at } noch { $by } wartet: sie käme am { $comes }.
why-clause-gone = niemand findet sie
why-clause-never-came = sie ging los und kam nicht an
why-clause-wrong-parts = andere Teile sind darin
why-clause-no-courier = die Botenrunde kam nicht
why-clause-not-ready = sie war nicht rechtzeitig fertig
why-clause-left-behind = sie wurde nicht mitgenommen
why-clause-nobody-came = niemand vom Team kam
why-reason-loose = es löste sich vom Druckbett
why-reason-shifted = Schichten sind verschoben
why-reason-stopped-coming = es kam kein Kunststoff mehr
why-reason-spool = die Spule war leer oder verheddert
why-reason-corners = es hob sich an den Ecken
why-reason-stopped = der Drucker blieb von selbst stehen
why-reason-power = der Strom fiel aus
why-reason-drifted = seine Maße weichen ab
why-reason-mended = er wird gerade gereinigt oder repariert
why-reason-not-good = die Stücke sind nicht gut genug
why-reason-people-leave = alle gehen, bevor sie fertig ist
why-reason-out = außer Betrieb
why-reason-failed = es ging schief
why-reason-other = etwas anderes
