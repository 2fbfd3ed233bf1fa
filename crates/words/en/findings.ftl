### findings

findings-size = { $x } x { $y } x { $z } mm

findings-open-edges = The surface is not closed: it has { $gaps ->
        [one] { $gaps } gap
       *[other] { $gaps } gaps
    } with { $edges ->
        [one] { $edges } open edge
       *[other] { $edges } open edges
    } along the rim. The rim of the largest is { $long } mm long. Where the surface is open, a printer cannot tell inside from outside, and the part has no certain volume.
findings-open-edges-do = Close the gap at the marked place. In your CAD program, fill the hole or join the surfaces until the part is one solid body, then export it again. A flat sheet needs a thickness.
findings-crowded-edges = At { $n ->
        [one] { $n } edge
       *[other] { $n } edges
    } more than two surfaces meet. That happens when two bodies only touch along an edge, or when a wall is drawn inside a body. It is then not certain which side is inside.
findings-crowded-edges-do = Look at the marked place. Let the two bodies overlap a little and unite them into one, or move them apart; delete walls inside the body. Then export again.
findings-mixed-facing = Along { $n ->
        [one] { $n } edge
       *[other] { $n } edges
    } the neighbouring triangles face opposite ways, so inside and outside are mixed up. We could not mend this without guessing.
findings-mixed-facing-do = At the marked place, make the surface face outwards everywhere (CAD programs call it flipping or unifying the face normals), or rebuild that part as a solid body, and export again.
findings-mixed-facing-turned = { $n ->
        [one] { $n } triangle faced the other way than the triangles around. We turned it over; the shape is unchanged.
       *[other] { $n } triangles faced the other way than the triangles around. We turned them over; the shape is unchanged.
    }
findings-mixed-facing-turned-do = Nothing, if the picture looks right. Check the marked place.
findings-inside-out = { $n ->
        [one] { $n } closed body is turned inside out: the outer faces point inwards. It would print as nothing.
       *[other] { $n } closed bodies are turned inside out: the outer faces point inwards. It would print as nothing.
    }
findings-inside-out-do = Flip the surface so that it faces outwards, and export again.
findings-inside-out-turned = { $n ->
        [one] { $n } closed body is turned inside out: the outer faces point inwards. We turned it the right side out.
       *[other] { $n } closed bodies are turned inside out: the outer faces point inwards. We turned them the right side out.
    }
findings-inside-out-turned-do = Nothing, if the picture looks right. A mirrored part often comes out like this: check that it is not the mirror image of what you want.
findings-small-hole-filled = The skin had { $holes ->
        [one] { $holes } small flat hole, { $wide } mm across at the widest. We closed it
       *[other] { $holes } small flat holes, { $wide } mm across at the widest. We closed them
    } with flat triangles between the corners that were there: { $before ->
        [one] { $before } open edge
       *[other] { $before } open edges
    } before, { $after ->
        [0] none
       *[other] { $after }
    } now.
findings-small-hole-filled-do = Nothing, if the picture looks right at the marked place. To mend the drawing itself, fill the hole in your CAD program and export again.
findings-enclosed-hollow = The part has { $n ->
        [one] { $n } closed hollow
       *[other] { $n } closed hollows
    } inside with no way out, { $volume } mm³ in all. It can be printed, but nobody can reach in to take out supports or loose material.
findings-enclosed-hollow-do = If the hollow is meant, keep its roof arched so that it needs no support, or open a hole to it. If it is meant to save material, leave it out: the inside is printed sparse anyway.
findings-several-shells = The file holds { $n } separate bodies. They are treated as one part and printed where they stand.
findings-several-shells-do = If they belong together, unite them into one body before exporting. If they are separate parts, send a file for each, so that each can be placed and counted by itself.
findings-overlapping-shells = Bodies in the file overlap: one by one they hold { $each } mm³, together { $united } mm³. We print what overlaps once, so the part takes plastic for { $united } mm³.
findings-join-bodies-do = Nothing, if the picture looks right. To be sure, join the bodies into one in your CAD program and export the part again.
findings-self-crossing = Surfaces of the part run through each other ({ $n ->
        [one] { $n } pair of faces
       *[other] { $n } pairs of faces
    } cross), as when two bodies overlap. We join what overlaps layer by layer, so it can be printed; another program may take the overlap for a hole.
findings-self-crossing-many = Surfaces of the part run through each other ({ $n } pairs of faces or more cross), as when two bodies overlap. We join what overlaps layer by layer, so it can be printed; another program may take the overlap for a hole.
findings-doubled-triangles = { $n ->
        [one] { $n } triangle is
       *[other] { $n } triangles are
    } in the file twice. We kept one of each.
findings-doubled-triangles-do = Nothing, if the picture looks right. Often a body was copied onto itself: delete the copy.

findings-unit-doubtful = The file does not say in what unit it is drawn. By its size and its round numbers we took { $unit }, which makes the part { $size }. We are not sure. A wrong unit gives a part of the wrong size.
findings-unit-guessed = The file does not say in what unit it is drawn. By its size and its round numbers we took { $unit }, which makes the part { $size }. A wrong unit gives a part of the wrong size.
findings-unit-do = Check the size above against your drawing. If it is wrong, say which unit the file is in, or export a 3MF file, which carries its unit.
findings-microns = microns
findings-millimetres = millimetres
findings-centimetres = centimetres
findings-inches = inches
findings-feet = feet
findings-metres = metres
findings-fits-no-printer = The part measures { $size }. It fits none of the { $n ->
        [one] { $n } printer
       *[other] { $n } printers
    }, whichever side is down and however it is turned on the bed. The largest, { $largest }, has room for { $room }.
findings-fits-no-printer-do = Check the unit first. If the size is right, split the part into pieces that are joined with screws or pegs, or make it smaller.
findings-fits-some-printers = The part measures { $size } and fits { $fitting } of { $n } printers.
findings-fits-not-all = The part measures { $size } and fits { $fitting } of { $n } printers. The largest that it does not fit, { $bed }, has room for { $room }.
findings-fits-some-printers-do = Nothing. A smaller part, or one split in two, could be printed sooner.

findings-tips-over = Standing like this, the part falls over when it leans { $angle } degrees. The nozzle pushes it with every line, and a part that comes loose is lost.
findings-tips-over-do = Give it a wider foot, let it lie down, or add a rim round its foot that is cut off afterwards.
findings-small-foot = The part is { $high } mm high and touches the bed with { $area } mm² only. So little sticks badly, and a part that comes loose is lost.
findings-small-foot-do = Lay it on a larger flat side, flatten the side it stands on, or add a rim round its foot that is cut off afterwards.
findings-overhang-area = { $area } mm² of the surface hang over more than { $angle } degrees from upright, with nothing below. There the plastic sags unless supports are printed under it, which cost time and leave marks.
findings-overhang-area-do = Turn the part so that its flat side lies on the bed, or slope the underside to at most { $angle } degrees from upright: a chamfer instead of a shelf, a pointed arch instead of a flat roof.

findings-starts-in-air = { $n ->
        [one] A piece of the part starts
       *[other] { $n } pieces of the part start
    } in mid-air, with nothing below: the largest begins { $high } mm above the bed. The first line of plastic there has nothing to lie on and falls down.
findings-starts-in-air-do = Turn the part so that this side lies on the bed, join it to the rest lower down, or slope the underside so that it grows out of the part.
findings-overhang = This ledge sticks out { $out } mm with nothing under it. Plastic can’t be laid on air: without a support below, it sags and the underside gets rough.
findings-overhang-do = Nothing, if a rough underside does not matter and somebody may break a support off. Otherwise put a 45 degree slope under the ledge, or turn the part over.
findings-long-bridge = Here the plastic has to span { $long } mm between two sides with nothing below. Lines that long hang through before they are hard.
findings-long-bridge-do = Make the opening at most { $wide } mm wide, give it a pointed or round top, or turn the part so that the opening lies on its side.
findings-trapped-support = Inside a hollow, { $n ->
        [one] { $n } place hangs over nothing and needs
       *[other] { $n } places hang over nothing and need
    } a support below. No opening there is { $wide } mm wide, so nobody could reach in and break the support out again.
findings-trapped-support-do = Give the hollow a pointed roof that needs no support, open it { $wide } mm wide or more, or cut the part in two and screw the halves together.
findings-thin-wall-gone = Here the part is { $thick } mm thin, and the printer lays plastic in lines { $line } mm wide. A wall thinner than a line is left out, or comes out thicker than you drew it.{ $more ->
        [0] {""}
        [one] {" "}The same goes for { $more } more place.
       *[other] {" "}The same goes for { $more } more places.
    }
findings-thin-wall = Here the part is { $thick } mm thin. The printer lays plastic in lines { $line } mm wide, so only one fits; a good wall is two lines side by side. One line alone snaps easily.{ $more ->
        [0] {""}
        [one] {" "}The same goes for { $more } more place.
       *[other] {" "}The same goes for { $more } more places.
    }
findings-thin-wall-do = Make it { $thick } mm or thicker where it has to carry anything.
findings-narrow-gap = This gap is { $wide } mm wide, less than one line of plastic. Both sides will grow together, and what should move will not.
findings-narrow-gap-do = Make it at least { $wide } mm wide; for parts that slide or turn, half a millimetre.
findings-small-hole = This hole is { $wide } mm across. Round holes that small come out smaller than drawn, or closed.
findings-small-hole-do = Drill it to size after printing, or draw it a little larger.
findings-thin-pin = This upright pin is { $thick } mm across and at least { $high } mm high. Its layers are tiny discs that hardly hold on to each other, so it snaps off.{ $more ->
        [0] {""}
        [one] {" "}There is { $more } more like it.
       *[other] {" "}There are { $more } more like it.
    }
findings-thin-pin-do = Make it { $thick } mm across or more and round off its foot, or leave a hole and put in a metal pin or a screw.
findings-fine-text-raised = This looks like lettering, raised: { $n ->
        [one] { $n } stroke
       *[other] { $n } strokes
    }, the thinnest { $thin } mm wide, and a printed line is { $line } mm. Strokes thinner than a line are left out, so it can’t be read.
findings-fine-text-cut-in = This looks like lettering, cut in: { $n ->
        [one] { $n } stroke
       *[other] { $n } strokes
    }, the thinnest { $thin } mm wide, and a printed line is { $line } mm. Gaps narrower than a line close, so it can’t be read.
findings-fine-text-do = Use a bold plain typeface with strokes of at least { $wide } mm, or put the words on a sticker.
findings-warping-corner = This plastic shrinks somewhat as it cools, and the foot of the part is { $long } mm long with { $n ->
        [one] { $n } sharp corner
       *[other] { $n } sharp corners
    }. The pull gathers in the corners and lifts them off the bed.
findings-warping-corner-strongly = This plastic shrinks strongly as it cools, and the foot of the part is { $long } mm long with { $n ->
        [one] { $n } sharp corner
       *[other] { $n } sharp corners
    }. The pull gathers in the corners and lifts them off the bed.
findings-warping-corner-do = Round the outer corners of the foot to 5 mm or more, add a rim round the foot that is cut off afterwards, or choose a plastic that shrinks less.
findings-solid-block = The part is a thick block here, and its inside takes plastic and time. Hollow it, open below, with { $left } mm left all round: that saves about { $grams } g and { $time }.
findings-solid-block-do = In your CAD program, shell the block from the side that lies on the bed to walls of { $left } mm, with a roof that slopes at 45 degrees, so that it needs no support.
findings-minutes = { $n } minutes
findings-hours = { $n } hours
findings-finer-than-line = The printer lays plastic in lines { $line } mm wide, and no place of the part is that wide: the widest is { $wide } mm. Nothing of it would be printed.
findings-finer-than-line-do = Check the unit first: a part drawn in inches or centimetres comes out far too small when it is read as millimetres. If the size is right, make every wall { $thick } mm thick or thicker.
findings-thin-floor-one = This lying wall is { $thick } mm thick, about one layer of { $layer } mm. So few layers bend, tear, and let light through.
findings-thin-floor = This lying wall is { $thick } mm thick, about { $layers } layers of { $layer } mm. So few layers bend, tear, and let light through.
findings-thin-floor-do = Make it { $thick } mm or thicker; twice that where it carries anything.

findings-overhang-heading = Part of it hangs over nothing
findings-self-crossing-heading = Surfaces run through each other
findings-starts-in-air-heading = A piece starts in mid-air
findings-long-bridge-heading = A long way to span
findings-thin-wall-heading = This wall is too thin to be strong
findings-narrow-gap-heading = This gap will grow together
findings-small-hole-heading = This hole will come out small
findings-tips-over-heading = It falls over easily
findings-small-foot-heading = It stands on very little
findings-open-edges-heading = The skin of the part is open
findings-crowded-edges-heading = Three or more faces meet at one edge
findings-mixed-facing-heading = Some faces look the wrong way
findings-inside-out-heading = The part was inside out
findings-enclosed-hollow-heading = There is a closed hollow inside
findings-small-hole-filled-heading = We closed a small hole in the skin
findings-overlapping-shells-heading = Bodies overlap
findings-thin-pin-heading = This pin is too thin
findings-finer-than-line-heading = It is finer than a printed line
findings-thin-floor-heading = This floor is too thin
findings-fine-text-heading = The letters are too fine
findings-warping-corner-heading = This corner may lift off the bed
findings-solid-block-heading = A hollow would save plastic
findings-trapped-support-heading = Supports would be shut in
findings-several-shells-heading = It is made of separate bodies
findings-doubled-triangles-heading = Some faces were drawn twice
findings-unit-doubtful-heading = Is this the right size?
findings-unit-guessed-heading = We worked out the unit
findings-fits-no-printer-heading = It is larger than every printer
findings-fits-some-printers-heading = It does not fit every printer
findings-other-heading = Something to look at

findings-count-edges = edges
findings-count-shells = shells
findings-count-pairs = pairs
findings-count-triangles = triangles
findings-count-places = places

findings-shows-layer = One layer of your part, from above. The small drawing is all of it.
findings-shows-foot = The foot of your part, seen from above, with the corner in a ring.
findings-shows-overhang = Your part, cut from top to bottom where it hangs out.
findings-shows-bridge = Your part, cut from top to bottom through the gap.
findings-shows-in-air = Your part, cut from top to bottom where the piece starts.
findings-shows-hollow = Your part, cut from top to bottom through the hollow.
findings-shows-cut = Your part, cut from top to bottom.
findings-shows-bodies = Your part with its bodies numbered.
findings-shows-room = Your part and, dashed, the room of our largest printer, to one scale.
findings-shows-pencil = Your part and a new pencil, to one scale.
findings-shows-standing = Your part from the side that it would fall to.
findings-shows-close = A close look at your part, with the place in a ring.
findings-marked-plastic = Marked with arrows: { $n } mm of plastic, beside one printed line.
findings-marked-gap = Marked with arrows: a gap of { $n } mm, beside one printed line.
findings-marked-hole = Marked with arrows: a hole { $n } mm across, beside one printed line.
findings-air-below = { $n } mm of air are below it.
findings-bad-edges = The bad edges are drawn heavy; there are { $n }.
findings-measured = Measured: { $much }.
findings-line-says = A line { $long } mm long says: { $label }.

findings-pic-mm = { $n } mm
findings-pic-mm2 = { $n } mm²
findings-pic-no-way-in = no way in
findings-pic-solid = all solid here
findings-pic-somewhere = somewhere on the part
findings-pic-open = open here
findings-pic-crowded = too many faces
findings-pic-wrong-way = wrong way round
findings-pic-cross = they cross here
findings-pic-inside-out = was inside out
findings-pic-closed = closed here
findings-pic-twice = drawn twice
findings-pic-here = here
findings-pic-body = body { $n }
findings-pic-your-part = your part: { $n } mm
findings-pic-room = room: { $n } mm
findings-pic-pencil = a new pencil, 175 mm
findings-pic-bed = bed
findings-pic-bed-below = the bed is { $n } mm below this edge
findings-pic-cut = cut from top to bottom
findings-pic-standing-bed = bed
findings-pic-foot = foot
findings-pic-weight-1 = middle of
findings-pic-weight-2 = its weight
findings-pic-falls = falls at { $n }°
findings-pic-hangs = hangs over
findings-pic-holds = 45° holds
findings-pic-would-hold = 45° would hold
findings-pic-air = { $n } mm of air
findings-pic-hollow = closed hollow
findings-pic-line = one printed line:
findings-pic-line-wide = { $n } mm wide
findings-pic-foot-above = the foot, seen from above

findings-source-here = derived here
findings-source-practice = common practice, no source
findings-source-closed = 3MF core specification 1.4.0 (ISO/IEC 25422), read: a model mesh must be closed, face outwards throughout, and share each edge between exactly two triangles
findings-source-holes = only flat holes of at most 5 mm and a tenth of the part: common practice, no source
findings-source-united = 3MF core specification 1.4.0 (ISO/IEC 25422), read: overlapping volumes are united; volume from sections, derived here
findings-source-signs = 3MF core specification 1.4.0 (ISO/IEC 25422), read: overlapping volumes are united; exact signs by Shewchuk 1997, derived here
findings-source-box = geometry of the part's box, derived here
findings-source-layers = geometry of the layers, derived here
findings-source-floor = three layers: common practice, no source; thickness by rays through the solid, derived here
findings-source-two-mm = 2 mm: common practice, no source; measured on the layers, derived here
findings-source-ten-mm = 10 mm: common practice, no source; measured on the layers, derived here
findings-source-pins = 2.5 mm: common practice, no source; measured on the layers, derived here
findings-source-text = one line: common practice, no source; width by opening or closing of the layers, derived here
findings-source-wall = two lines: common practice, no source; thickness by opening of the layers, derived here
findings-source-gap = one line: common practice, no source; width by closing of the layers, derived here
findings-source-core = volume deeper than 4 mm, from the layers, derived here; worth a word from 10 g and half an hour: common practice, no source
findings-source-shut-in = 5 mm: common practice, no source; ways through the air round the part on a grid, derived here
findings-source-warp = 60 mm for strongly, 120 mm for moderately warping materials, 75 degrees: common practice, no source
findings-source-balance = static balance, derived here; 7 degrees: common practice, no source
findings-source-slender = height over the root of the foot's area, 8: common practice, no source
findings-source-overhang = 45 degrees: Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47, abstract read; for other sheets atan(line width / 2 layer heights), derived here
