### findings

findings-size = { $x } × { $y } × { $z } mm

findings-open-edges = Die Oberfläche ist nicht geschlossen: Sie hat { $gaps ->
        [one] { $gaps } Lücke
       *[other] { $gaps } Lücken
    } mit { $edges ->
        [one] { $edges } offenen Kante
       *[other] { $edges } offenen Kanten
    } am Rand. Der Rand der größten ist { $long } mm lang. Wo die Oberfläche offen ist, weiß ein Drucker nicht, was innen und was außen ist, und das Teil hat kein bestimmtes Volumen.
findings-open-edges-do = Schließ die Lücke an der markierten Stelle. Füll in deinem CAD-Programm das Loch oder verbinde die Flächen, bis das Teil ein fester Körper ist, und exportiere es noch einmal. Eine flache Fläche braucht eine Dicke.
findings-crowded-edges = An { $n ->
        [one] { $n } Kante
       *[other] { $n } Kanten
    } treffen sich mehr als zwei Flächen. Das passiert, wenn sich zwei Körper nur an einer Kante berühren oder wenn eine Wand in einem Körper gezeichnet ist. Dann ist nicht klar, welche Seite innen ist.
findings-crowded-edges-do = Sieh dir die markierte Stelle an. Lass die zwei Körper ein wenig ineinander ragen und vereinige sie zu einem oder rück sie auseinander. Lösche Wände im Körper. Exportiere dann noch einmal.
findings-mixed-facing = An { $n ->
        [one] { $n } Kante
       *[other] { $n } Kanten
    } schauen die Dreiecke nebenan in entgegengesetzte Richtungen, also sind innen und außen vertauscht. Das konnten wir nicht beheben, ohne zu raten.
findings-mixed-facing-do = Sorge an der markierten Stelle dafür, dass die Oberfläche überall nach außen schaut (CAD-Programme nennen das Normalen umdrehen oder vereinheitlichen), oder bau diese Stelle neu als festen Körper. Exportiere dann noch einmal.
findings-mixed-facing-turned = { $n ->
        [one] { $n } Dreieck hat anders herum geschaut als die Dreiecke daneben. Wir haben es umgedreht; die Form ist gleich geblieben.
       *[other] { $n } Dreiecke haben anders herum geschaut als die Dreiecke daneben. Wir haben sie umgedreht; die Form ist gleich geblieben.
    }
findings-mixed-facing-turned-do = Nichts, wenn das Bild richtig aussieht. Prüfe die markierte Stelle.
findings-inside-out = { $n ->
        [one] { $n } geschlossener Körper ist umgestülpt: Die Außenflächen zeigen nach innen. Gedruckt käme nichts heraus.
       *[other] { $n } geschlossene Körper sind umgestülpt: Die Außenflächen zeigen nach innen. Gedruckt käme nichts heraus.
    }
findings-inside-out-do = Dreh die Oberfläche um, sodass sie nach außen schaut, und exportiere noch einmal.
findings-inside-out-turned = { $n ->
        [one] { $n } geschlossener Körper ist umgestülpt: Die Außenflächen zeigen nach innen. Wir haben ihn richtig herum gedreht.
       *[other] { $n } geschlossene Körper sind umgestülpt: Die Außenflächen zeigen nach innen. Wir haben sie richtig herum gedreht.
    }
findings-inside-out-turned-do = Nichts, wenn das Bild richtig aussieht. Gespiegelte Teile werden oft so: Prüfe, ob es nicht das Spiegelbild von dem ist, was du willst.
findings-small-hole-filled = Die Hülle hatte { $holes ->
        [one] { $holes } kleines flaches Loch, an der breitesten Stelle { $wide } mm breit. Wir haben es
       *[other] { $holes } kleine flache Löcher, an der breitesten Stelle { $wide } mm breit. Wir haben sie
    } mit flachen Dreiecken zwischen den vorhandenen Ecken geschlossen: Vorher gab es { $before ->
        [one] { $before } offene Kante
       *[other] { $before } offene Kanten
    }, jetzt gibt es { $after ->
        [0] keine mehr
       *[other] noch { $after }
    }.
findings-small-hole-filled-do = Nichts, wenn das Bild an der markierten Stelle richtig aussieht. Um die Zeichnung selbst zu beheben, füll das Loch in deinem CAD-Programm und exportiere noch einmal.
findings-enclosed-hollow = Das Teil hat innen { $n ->
        [one] { $n } geschlossenen Hohlraum
       *[other] { $n } geschlossene Hohlräume
    } ohne Weg nach draußen, zusammen { $volume } mm³. Es lässt sich drucken, aber niemand kann hineingreifen, um Stützen oder losen Kunststoff herauszuholen.
findings-enclosed-hollow-do = Wenn du den Hohlraum so willst, mach seine Decke zum Bogen, damit sie keine Stützen braucht, oder öffne ein Loch hinein. Soll er nur Kunststoff sparen, lass ihn weg: Innen wird ohnehin locker gedruckt.
findings-several-shells = Die Datei enthält { $n } getrennte Körper. Sie gelten als ein Teil und werden gedruckt, wo sie stehen.
findings-several-shells-do = Wenn sie zusammengehören, vereinige sie vor dem Exportieren zu einem Körper. Sind es eigene Teile, schick für jedes eine Datei, damit jedes für sich seinen Platz bekommt und gezählt wird.
findings-overlapping-shells = Körper in der Datei überlappen sich: Einzeln haben sie { $each } mm³, zusammen { $united } mm³. Was sich überlappt, drucken wir einmal, also braucht das Teil Kunststoff für { $united } mm³.
findings-join-bodies-do = Nichts, wenn das Bild richtig aussieht. Besser ist es, wenn du die Körper in deinem CAD-Programm zu einem verbindest und das Teil noch einmal exportierst.
findings-self-crossing = Oberflächen des Teils gehen durcheinander ({ $n ->
        [one] { $n } Paar Flächen kreuzt
       *[other] { $n } Paare Flächen kreuzen
    } sich), wie wenn sich zwei Körper überlappen. Wir verbinden Schicht für Schicht, was sich überlappt, also lässt es sich drucken; ein anderes Programm hält es vielleicht für ein Loch.
findings-self-crossing-many = Oberflächen des Teils gehen durcheinander ({ $n } Paare Flächen oder mehr kreuzen sich), wie wenn sich zwei Körper überlappen. Wir verbinden Schicht für Schicht, was sich überlappt, also lässt es sich drucken; ein anderes Programm hält es vielleicht für ein Loch.
findings-doubled-triangles = { $n ->
        [one] { $n } Dreieck ist
       *[other] { $n } Dreiecke sind
    } doppelt in der Datei. Wir haben von jedem eines behalten.
findings-doubled-triangles-do = Nichts, wenn das Bild richtig aussieht. Oft wurde ein Körper auf sich selbst kopiert: Lösche die Kopie.

findings-unit-doubtful = Die Datei sagt nicht, in welcher Einheit sie gezeichnet ist. Nach der Größe und den runden Zahlen haben wir { $unit } genommen. Damit misst das Teil { $size }. Wir wissen es nicht genau. Mit einer falschen Einheit hat ein Teil die falsche Größe.
findings-unit-guessed = Die Datei sagt nicht, in welcher Einheit sie gezeichnet ist. Nach der Größe und den runden Zahlen haben wir { $unit } genommen. Damit misst das Teil { $size }. Mit einer falschen Einheit hat ein Teil die falsche Größe.
findings-unit-do = Vergleiche die Größe oben mit deiner Zeichnung. Stimmt sie nicht, sag, in welcher Einheit die Datei ist, oder exportiere eine 3MF-Datei, denn die enthält ihre Einheit.
findings-microns = Mikrometer
findings-millimetres = Millimeter
findings-centimetres = Zentimeter
findings-inches = Zoll
findings-feet = Fuß
findings-metres = Meter
findings-fits-no-printer = Das Teil misst { $size }. Es passt in { $n ->
        [one] den einzigen Drucker nicht
       *[other] keinen der { $n } Drucker
    }, egal welche Seite unten ist und wie es auf dem Druckbett gedreht ist. Im größten, { $largest }, ist Platz für { $room }.
findings-fits-no-printer-do = Prüfe zuerst die Einheit. Stimmt die Größe, teil das Teil in Stücke, die mit Schrauben oder Zapfen verbunden werden, oder mach es kleiner.
findings-fits-some-printers = Das Teil misst { $size } und passt in { $fitting } von { $n } Druckern.
findings-fits-not-all = Das Teil misst { $size } und passt auf { $fitting } von { $n } Druckern. Der größte, auf den es nicht passt, { $bed }, hat Platz für { $room }.
findings-fits-some-printers-do = Nichts. Ein kleineres Teil oder eines aus zwei Stücken könnte früher gedruckt werden.

findings-tips-over = So wie es steht, kippt das Teil um, wenn es sich um { $angle } Grad neigt. Die Düse schiebt es bei jeder Linie, und ein Teil, das sich löst, ist verloren.
findings-tips-over-do = Gib ihm einen breiteren Fuß, leg es hin oder zeichne einen Rand um seinen Fuß, der nachher abgeschnitten wird.
findings-small-foot = Das Teil ist { $high } mm hoch und berührt das Druckbett nur mit { $area } mm². So wenig haftet schlecht, und ein Teil, das sich löst, ist verloren.
findings-small-foot-do = Leg es auf eine größere ebene Seite, mach die Seite eben, auf der es steht, oder zeichne einen Rand um seinen Fuß, der nachher abgeschnitten wird.
findings-overhang-area = { $area } mm² der Oberfläche hängen mehr als { $angle } Grad aus der Senkrechten über, und darunter ist nichts. Dort sinkt der Kunststoff ab, wenn darunter keine Stützen gedruckt werden. Stützen kosten Zeit und hinterlassen Spuren.
findings-overhang-area-do = Dreh das Teil so, dass seine ebene Seite auf dem Druckbett liegt, oder mach die Unterseite höchstens { $angle } Grad schräg aus der Senkrechten: eine Schräge statt einer Kante, ein spitzer Bogen statt einer flachen Decke.

findings-starts-in-air = { $n ->
        [one] Ein Stück des Teils fängt mitten in der Luft an, und
       *[other] { $n } Stücke des Teils fangen mitten in der Luft an, und
    } darunter ist nichts: Das größte beginnt { $high } mm über dem Druckbett. Die erste Linie Kunststoff liegt dort auf nichts und fällt herunter.
findings-starts-in-air-do = Dreh das Teil so, dass diese Seite auf dem Druckbett liegt, verbinde das Stück weiter unten mit dem Rest oder mach die Unterseite schräg, damit es aus dem Teil herauswächst.
findings-overhang = Dieser Überhang ragt { $out } mm hinaus, und darunter ist nichts. Kunststoff lässt sich nicht auf Luft legen: Ohne eine Stütze darunter sinkt er ab, und die Unterseite wird rau.
findings-overhang-do = Nichts, wenn eine raue Unterseite nicht stört und jemand eine Stütze abbrechen darf. Sonst zeichne eine Schräge von 45 Grad unter den Überhang oder dreh das Teil um.
findings-long-bridge = Hier muss der Kunststoff { $long } mm zwischen zwei Seiten überspannen, und darunter ist nichts. So lange Linien hängen durch, bevor sie hart sind.
findings-long-bridge-do = Mach die Öffnung höchstens { $wide } mm breit, gib ihr oben eine Spitze oder Rundung oder dreh das Teil so, dass die Öffnung auf der Seite liegt.
findings-trapped-support = In einem Hohlraum { $n ->
        [one] hängt { $n } Stelle über nichts und braucht
       *[other] hängen { $n } Stellen über nichts und brauchen
    } darunter eine Stütze. Keine Öffnung ist dort { $wide } mm breit, also könnte niemand hineingreifen und die Stütze wieder herausbrechen.
findings-trapped-support-do = Gib dem Hohlraum eine spitze Decke, die keine Stütze braucht, öffne ihn { $wide } mm breit oder mehr, oder schneide das Teil durch und schraub die Hälften zusammen.
findings-thin-wall-gone = Hier ist das Teil { $thick } mm dünn, und der Drucker legt Linien, die { $line } mm breit sind. Eine Wand, die dünner ist als eine Linie, fehlt oder wird dicker als gezeichnet.{ $more ->
        [0] {""}
        [one] {" "}Das gilt für { $more } weitere Stelle.
       *[other] {" "}Das gilt für { $more } weitere Stellen.
    }
findings-thin-wall = Hier ist das Teil { $thick } mm dünn. Der Drucker legt Linien, die { $line } mm breit sind, also passt nur eine hinein; eine gute Wand hat zwei nebeneinander. Eine Linie allein bricht leicht.{ $more ->
        [0] {""}
        [one] {" "}Das gilt für { $more } weitere Stelle.
       *[other] {" "}Das gilt für { $more } weitere Stellen.
    }
findings-thin-wall-do = Mach sie { $thick } mm dick oder dicker, wo sie etwas tragen muss.
findings-narrow-gap = Dieser Spalt ist { $wide } mm breit, weniger als eine Linie Kunststoff. Beide Seiten wachsen zusammen, und was sich bewegen soll, klemmt.
findings-narrow-gap-do = Mach ihn mindestens { $wide } mm breit; bei Teilen, die gleiten oder sich drehen, einen halben Millimeter.
findings-small-hole = Dieses Loch ist { $wide } mm breit. So kleine runde Löcher werden enger als gezeichnet oder gehen zu.
findings-small-hole-do = Bohr es nach dem Drucken auf die richtige Größe oder zeichne es etwas größer.
findings-thin-pin = Dieser stehende Stift ist { $thick } mm dick und mindestens { $high } mm hoch. Seine Schichten sind winzige Scheiben, die kaum aneinander haften, also bricht er ab.{ $more ->
        [0] {""}
        [one] {" "}Es gibt noch { $more } solchen.
       *[other] {" "}Es gibt noch { $more } solche.
    }
findings-thin-pin-do = Mach ihn { $thick } mm dick oder dicker und runde seinen Fuß ab, oder lass ein Loch und steck einen Metallstift oder eine Schraube hinein.
findings-fine-text-raised = Das sieht nach erhabener Schrift aus: { $n ->
        [one] { $n } Strich
       *[other] { $n } Striche
    }, der dünnste { $thin } mm breit, und eine gedruckte Linie ist { $line } mm breit. Striche, die dünner sind als eine Linie, fehlen, also kann sie niemand lesen.
findings-fine-text-cut-in = Das sieht nach eingeschnittener Schrift aus: { $n ->
        [one] { $n } Strich
       *[other] { $n } Striche
    }, der dünnste { $thin } mm breit, und eine gedruckte Linie ist { $line } mm breit. Lücken, die schmaler sind als eine Linie, gehen zu, also kann sie niemand lesen.
findings-fine-text-do = Nimm eine fette, schlichte Schrift mit Strichen von mindestens { $wide } mm oder schreib die Worte auf einen Aufkleber.
findings-warping-corner = Dieser Kunststoff schrumpft beim Abkühlen etwas, und der Fuß des Teils ist { $long } mm lang und hat { $n ->
        [one] { $n } scharfe Ecke
       *[other] { $n } scharfe Ecken
    }. Der Zug sammelt sich in den Ecken und hebt sie vom Druckbett.
findings-warping-corner-strongly = Dieser Kunststoff schrumpft beim Abkühlen stark, und der Fuß des Teils ist { $long } mm lang und hat { $n ->
        [one] { $n } scharfe Ecke
       *[other] { $n } scharfe Ecken
    }. Der Zug sammelt sich in den Ecken und hebt sie vom Druckbett.
findings-warping-corner-do = Runde die äußeren Ecken des Fußes auf 5 mm oder mehr ab, zeichne einen Rand um den Fuß, der nachher abgeschnitten wird, oder nimm einen Kunststoff, der weniger schrumpft.
findings-solid-block = Das Teil ist hier ein dicker Klotz, und sein Inneres braucht Kunststoff und Zeit. Höhle es von unten aus und lass rundum { $left } mm stehen: Das spart etwa { $grams } g und { $time }.
findings-solid-block-do = Höhle den Klotz in deinem CAD-Programm von der Seite aus, die auf dem Druckbett liegt, bis auf Wände von { $left } mm. Mach die Decke mit 45 Grad schräg, damit sie keine Stützen braucht.
findings-minutes = { $n } Minuten
findings-hours = { $n } Stunden
findings-finer-than-line = Der Drucker legt den Kunststoff in Linien, die { $line } mm breit sind, und keine Stelle des Teils ist so breit: Die breiteste hat { $wide } mm. Davon würde nichts gedruckt.
findings-finer-than-line-do = Sieh zuerst nach der Einheit: Ein Teil, das in Zoll oder Zentimetern gezeichnet ist, wird viel zu klein, wenn man es in Millimetern liest. Wenn die Größe stimmt, mach jede Wand { $thick } mm dick oder dicker.
findings-thin-floor-one = Diese liegende Wand ist { $thick } mm dick, etwa eine Schicht von { $layer } mm. So wenige Schichten biegen sich, reißen und lassen Licht durch.
findings-thin-floor = Diese liegende Wand ist { $thick } mm dick, etwa { $layers } Schichten von { $layer } mm. So wenige Schichten biegen sich, reißen und lassen Licht durch.
findings-thin-floor-do = Mach sie { $thick } mm dick oder dicker; doppelt so dick, wo sie etwas trägt.

findings-overhang-heading = Ein Stück davon hängt über nichts
findings-self-crossing-heading = Oberflächen gehen durcheinander
findings-starts-in-air-heading = Ein Stück fängt mitten in der Luft an
findings-long-bridge-heading = Eine lange Lücke zu überspannen
findings-thin-wall-heading = Diese Wand ist zu dünn, um stark zu sein
findings-narrow-gap-heading = Dieser Spalt wächst zusammen
findings-small-hole-heading = Dieses Loch wird zu eng
findings-tips-over-heading = Es kippt leicht um
findings-small-foot-heading = Es steht auf sehr wenig
findings-open-edges-heading = Die Hülle des Teils ist offen
findings-crowded-edges-heading = Drei oder mehr Flächen treffen sich an einer Kante
findings-mixed-facing-heading = Einige Flächen sind falsch herum
findings-inside-out-heading = Das Teil war umgestülpt
findings-enclosed-hollow-heading = Innen ist ein geschlossener Hohlraum
findings-small-hole-filled-heading = Wir haben ein kleines Loch in der Hülle geschlossen
findings-overlapping-shells-heading = Körper überlappen sich
findings-thin-pin-heading = Dieser Stift ist zu dünn
findings-finer-than-line-heading = Es ist feiner als eine gedruckte Linie
findings-thin-floor-heading = Dieser Boden ist zu dünn
findings-fine-text-heading = Die Buchstaben sind zu fein
findings-warping-corner-heading = Diese Ecke kann sich vom Druckbett heben
findings-solid-block-heading = Ein Hohlraum würde Kunststoff sparen
findings-trapped-support-heading = Stützen wären eingeschlossen
findings-several-shells-heading = Es besteht aus getrennten Körpern
findings-doubled-triangles-heading = Einige Flächen sind doppelt gezeichnet
findings-unit-doubtful-heading = Ist das die richtige Größe?
findings-unit-guessed-heading = Wir haben die Einheit erschlossen
findings-fits-no-printer-heading = Es ist größer als jeder Drucker
findings-fits-some-printers-heading = Es passt nicht in jeden Drucker
findings-other-heading = Etwas zum Ansehen

findings-count-edges = Kanten
findings-count-shells = Körper
findings-count-pairs = Paare
findings-count-triangles = Dreiecke
findings-count-places = Stellen

findings-shows-layer = Eine Schicht deines Teils, von oben. Die kleine Zeichnung zeigt sie ganz.
findings-shows-foot = Der Fuß deines Teils, von oben gesehen, mit der Ecke in einem Ring.
findings-shows-overhang = Dein Teil, von oben nach unten aufgeschnitten, wo es überhängt.
findings-shows-bridge = Dein Teil, von oben nach unten durch die Lücke aufgeschnitten.
findings-shows-in-air = Dein Teil, von oben nach unten aufgeschnitten, wo das Stück anfängt.
findings-shows-hollow = Dein Teil, von oben nach unten durch den Hohlraum aufgeschnitten.
findings-shows-cut = Dein Teil, von oben nach unten aufgeschnitten.
findings-shows-bodies = Dein Teil mit nummerierten Körpern.
findings-shows-room = Dein Teil und, gestrichelt, der Platz in unserem größten Drucker, im selben Maßstab.
findings-shows-pencil = Dein Teil und ein neuer Bleistift, im selben Maßstab.
findings-shows-standing = Dein Teil von der Seite, auf die es kippen würde.
findings-shows-close = Dein Teil aus der Nähe, mit der Stelle in einem Ring.
findings-marked-plastic = Mit Pfeilen markiert: { $n } mm Kunststoff, daneben eine gedruckte Linie.
findings-marked-gap = Mit Pfeilen markiert: ein Spalt von { $n } mm, daneben eine gedruckte Linie.
findings-marked-hole = Mit Pfeilen markiert: ein Loch, { $n } mm breit, daneben eine gedruckte Linie.
findings-air-below = Darunter sind { $n } mm Luft.
findings-bad-edges = Die schlechten Kanten sind dick gezeichnet; Anzahl: { $n }.
findings-measured = Gemessen: { $much }.
findings-line-says = An einer { $long } mm langen Linie steht: { $label }.

findings-pic-mm = { $n } mm
findings-pic-mm2 = { $n } mm²
findings-pic-no-way-in = kein Weg hinein
findings-pic-solid = hier ganz massiv
findings-pic-somewhere = irgendwo am Teil
findings-pic-open = hier offen
findings-pic-crowded = zu viele Flächen
findings-pic-wrong-way = falsch herum
findings-pic-cross = kreuzen sich hier
findings-pic-inside-out = war umgestülpt
findings-pic-closed = hier geschlossen
findings-pic-twice = doppelt
findings-pic-here = hier
findings-pic-body = Nr. { $n }
findings-pic-your-part = dein Teil: { $n } mm
findings-pic-room = Platz: { $n } mm
findings-pic-pencil = neuer Bleistift, 175 mm
findings-pic-bed = Druckbett
findings-pic-bed-below = Druckbett { $n } mm unter dem Rand
findings-pic-cut = senkrecht aufgeschnitten
findings-pic-standing-bed = Bett
findings-pic-foot = Fuß
findings-pic-weight-1 = Mitte des
findings-pic-weight-2 = Gewichts
findings-pic-falls = kippt bei { $n }°
findings-pic-hangs = hängt über
findings-pic-holds = 45° hält
findings-pic-would-hold = 45° hielte
findings-pic-air = { $n } mm Luft
findings-pic-hollow = Hohlraum
findings-pic-line = gedruckte Linie:
findings-pic-line-wide = { $n } mm breit
findings-pic-foot-above = der Fuß, von oben

findings-source-here = hier hergeleitet
findings-source-practice = übliche Praxis, keine Quelle
findings-source-closed = 3MF core specification 1.4.0 (ISO/IEC 25422), gelesen: Das Netz eines Modells muss geschlossen sein, überall nach außen zeigen, und an jeder Kante liegen genau zwei Dreiecke
findings-source-holes = nur flache Löcher von höchstens 5 mm und einem Zehntel des Teils: übliche Praxis, keine Quelle
findings-source-united = 3MF core specification 1.4.0 (ISO/IEC 25422), gelesen: Körper, die sich überlappen, werden vereinigt; Volumen aus Schnitten, hier hergeleitet
findings-source-signs = 3MF core specification 1.4.0 (ISO/IEC 25422), gelesen: Körper, die sich überlappen, werden vereinigt; genaue Vorzeichen nach Shewchuk 1997, hier hergeleitet
findings-source-box = Geometrie des Quaders um das Teil, hier hergeleitet
findings-source-layers = Geometrie der Schichten, hier hergeleitet
findings-source-floor = drei Schichten: übliche Praxis, keine Quelle; Dicke mit Strahlen durch den Körper, hier hergeleitet
findings-source-two-mm = 2 mm: übliche Praxis, keine Quelle; an den Schichten gemessen, hier hergeleitet
findings-source-ten-mm = 10 mm: übliche Praxis, keine Quelle; an den Schichten gemessen, hier hergeleitet
findings-source-pins = 2,5 mm: übliche Praxis, keine Quelle; an den Schichten gemessen, hier hergeleitet
findings-source-text = eine Linie: übliche Praxis, keine Quelle; Breite durch Öffnen oder Schließen der Schichten, hier hergeleitet
findings-source-wall = zwei Linien: übliche Praxis, keine Quelle; Dicke durch Öffnen der Schichten, hier hergeleitet
findings-source-gap = eine Linie: übliche Praxis, keine Quelle; Breite durch Schließen der Schichten, hier hergeleitet
findings-source-core = Volumen tiefer als 4 mm, aus den Schichten, hier hergeleitet; erwähnt ab 10 g und einer halben Stunde: übliche Praxis, keine Quelle
findings-source-shut-in = 5 mm: übliche Praxis, keine Quelle; Wege durch die Luft um das Teil auf einem Gitter, hier hergeleitet
findings-source-warp = 60 mm bei Kunststoffen, die sich stark verziehen, 120 mm bei solchen, die sich mäßig verziehen, 75 Grad: übliche Praxis, keine Quelle
findings-source-balance = Gleichgewicht im Stehen, hier hergeleitet; 7 Grad: übliche Praxis, keine Quelle
findings-source-slender = Höhe geteilt durch die Wurzel aus der Fläche des Fußes, 8: übliche Praxis, keine Quelle
findings-source-overhang = 45 Grad: Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47, Zusammenfassung gelesen; für andere Druckvorgaben atan(Linienbreite / 2 Schichthöhen), hier hergeleitet
