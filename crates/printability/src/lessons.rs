//! What there is to learn from a finding: one short lesson for each code. Pure data.
//!
//! Written for reading age 12: short words, short sentences, and general names of CAD steps, never
//! those of a product. A test measures how hard they are to read.

/// What a finding is called in a sentence, and what it teaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// The code of the finding.
    pub code: &'static str,
    /// Its short name, to be used inside a sentence: `thin wall`.
    pub name: &'static str,
    /// Two to four sentences: what happens in the machine, why it matters for a robot part, and how
    /// one avoids it next time.
    pub text: &'static str,
}

/// Every code that a finding can have, with its lesson, in the order of the rooms that find them.
pub const LESSONS: [Lesson; 28] = [
    Lesson {
        code: "open-edges",
        name: "open skin",
        text: "The printer fills what is inside the skin of a part. With a hole in the skin there is \
               no inside, like a bucket with no bottom. In CAD, start from a solid body, not from \
               loose faces, and check that it is closed before you save it.",
    },
    Lesson {
        code: "crowded-edges",
        name: "crowded edge",
        text: "Each edge of a part should join just two faces. Where three or more meet, we can’t \
               tell which side is plastic and which is air. Two bodies that only touch along an edge \
               would break there too. Let them overlap by 1 mm, then join them into one body.",
    },
    Lesson {
        code: "mixed-facing",
        name: "faces the wrong way",
        text: "Each face has an outside and an inside. If some look the wrong way, air and plastic \
               swap places and a wall can go missing. Turn the faces over so that all look out. A \
               part drawn as one solid body has them right from the start.",
    },
    Lesson {
        code: "inside-out",
        name: "inside out",
        text: "The skin tells the printer where the plastic is by the way it faces. Inside out means \
               air where the part should be. It often happens when you mirror a part. After you \
               mirror one, check that a left part did not become a right part.",
    },
    Lesson {
        code: "small-hole-filled",
        name: "tiny hole in the skin",
        text: "A few small faces were missing, so the skin had a tiny flat hole. We put a flat patch \
               on it, but look at it, since that is our best guess. Such holes often come from rounded \
               corners that are too small: make the fillet larger, or save with finer steps.",
    },
    Lesson {
        code: "doubled-triangles",
        name: "faces drawn twice",
        text: "The same faces lie on top of each other. The part still prints, since we keep one of \
               each. It is a sign that a body was copied and left where it was. Look through the list \
               of bodies in your drawing and delete the spare one.",
    },
    Lesson {
        code: "enclosed-hollow",
        name: "closed hollow",
        text: "The printer builds the roof of a hollow over thin air. If that roof needs props, they \
               stay inside for good and rattle. The inside of a print is mostly air anyway, so \
               you rarely need a hollow. If you do, give it a pointed roof or a hole to reach in.",
    },
    Lesson {
        code: "several-shells",
        name: "separate bodies",
        text: "Bodies that are not joined come off the bed as loose pieces. A part in two pieces can’t \
               carry a load from one to the other. Join them in CAD if they belong together. If they \
               do not, send one file for each, so that each gets its own best spot on the bed.",
    },
    Lesson {
        code: "overlapping-shells",
        name: "overlapping bodies",
        text: "Two bodies share the same space. Plastic can only be there once, so we count it once. \
               Nothing is wrong with the print, but your CAD may tell you too much weight. Join the \
               bodies into one, and the numbers will match.",
    },
    Lesson {
        code: "self-crossing",
        name: "faces that cross",
        text: "Two skins run through each other, as when a peg is pushed into a block. We join them \
               layer by layer. Some other tool may see a hole there and leave a weak spot. Join \
               bodies in CAD as your last step, and nobody has to guess.",
    },
    Lesson {
        code: "unit-doubtful",
        name: "unit",
        text: "Some files hold numbers but no unit, so 2 could mean 2 mm or 2 inches. A robot part \
               that is 25 times too small is no use to anyone. Set your drawing to millimetres. Or \
               send a 3MF file, which says its own unit.",
    },
    Lesson {
        code: "unit-guessed",
        name: "unit",
        text: "Your file holds numbers but no unit. We looked at the size and took the unit that \
               makes sense for a robot part. We can be wrong, so check the size. Set your drawing to \
               millimetres, or send a 3MF file, and nobody has to guess.",
    },
    Lesson {
        code: "fits-no-printer",
        name: "too large",
        text: "A printer can only reach as far as its bed. A part that is larger can’t be made in one \
               go, even if you turn it. Cut it in CAD where little force goes through. Join the \
               halves with screws or pegs, and leave 0.2 mm of play for each peg.",
    },
    Lesson {
        code: "fits-some-printers",
        name: "size",
        text: "Printers have beds of many sizes. The larger your part, the fewer can make it, and the \
               longer the wait. If the date matters, think about two smaller pieces. Screws hold as \
               well as plastic if you give them a flat face to pull on.",
    },
    Lesson {
        code: "overhang",
        name: "ledge",
        text: "A printer lays each line of plastic on the layer below. Past the edge there is only \
               air, so the soft line sinks. A rough ledge will not sit flat against your robot. In \
               CAD, put a chamfer of 45 degrees under it, or turn the part so that the ledge lies on \
               the bed.",
    },
    Lesson {
        code: "tips-over",
        name: "falls over easily",
        text: "The hot tip pushes the part a little with each line. A tall part on a thin foot rocks, \
               then comes off the bed, and all the hours are lost. Lay it down if you can. If not, \
               draw a wide foot with a fillet, and cut it off at the end.",
    },
    Lesson {
        code: "small-foot",
        name: "small foot",
        text: "Only the face on the bed holds the part while it grows. When that face is small, one \
               push is enough to tear it off. Look for a large flat side and put that one down. If \
               there is none, cut a flat on the part or add a foot that you trim later.",
    },
    Lesson {
        code: "starts-in-air",
        name: "start in mid-air",
        text: "The first line of this piece has nothing to lie on. It drops, and the next lines drop \
               on it, until your part is a knot of loose plastic. Let the piece grow out of a wall \
               with a chamfer, or turn the part over so that it starts on the bed.",
    },
    Lesson {
        code: "long-bridge",
        name: "long bridge",
        text: "Soft plastic can be pulled across a short gap like a rope. Over a long gap the rope \
               sags before it sets. A bore with a sagging roof will not take its axle. Draw a round \
               or pointed top, make the gap less wide, or lay the part on its side.",
    },
    Lesson {
        code: "thin-wall",
        name: "thin wall",
        text: "The printer draws with a line of plastic that is always about as wide. A wall of one \
               line has no second line to grip, so it splits when the robot bumps into something. \
               Thicken the wall to two lines or more. A rib or a fillet at its foot helps too.",
    },
    Lesson {
        code: "thin-pin",
        name: "thin pin",
        text: "An upright pin is a stack of tiny round layers. Each has no time to set before the \
               next one comes, and the stack snaps along its layers like a stick of chalk. Make the \
               pin thicker, or put a fillet at its foot. For a thin axle use a metal pin in a printed \
               hole.",
    },
    Lesson {
        code: "thin-floor",
        name: "thin floor",
        text: "A flat face is built from layers, one on top of the other. With only one or two of \
               them you can see through the gaps, and a finger pushes it in. Thicken the floor to \
               four layers or more. Where a screw sits on it, make it as thick as the screw head.",
    },
    Lesson {
        code: "fine-text",
        name: "fine letters",
        text: "The printer can’t draw a stroke thinner than its line of plastic. Thin strokes go \
               missing, and nobody can read the part number. Use plain bold letters that are large, \
               and cut them into the part. Letters on a top or side face come out best.",
    },
    Lesson {
        code: "narrow-gap",
        name: "narrow gap",
        text: "A line of plastic spreads a bit as it is pressed down. Two walls that are too close \
               melt into one. A hinge or a slide then stays stuck. Leave a gap of half a millimetre \
               for parts that move, and more when they are long.",
    },
    Lesson {
        code: "small-hole",
        name: "small hole",
        text: "On a tight bend the plastic is pulled to the inside, so small holes shrink. A screw \
               that should go in will not. Draw the hole a bit too large, or print it and drill it to \
               size. A drill makes it round as well.",
    },
    Lesson {
        code: "warping-corner",
        name: "corner that may lift",
        text: "Plastic shrinks as it cools, and the layers pull on each other. The pull is worst at \
               sharp corners, so they curl up off the bed. A base that is not flat will rock on your \
               robot. Round the corners with a large fillet, or pick a plastic that shrinks less.",
    },
    Lesson {
        code: "solid-block",
        name: "solid block",
        text: "A thick block takes hours to fill, and the middle hardly adds strength. Most of the \
               load runs through the outer skin. Hollow the block out and leave ribs where screws and \
               forces go. Your robot gets lighter, and you get the part sooner.",
    },
    Lesson {
        code: "trapped-support",
        name: "trapped support",
        text: "A roof needs props while it prints, and someone has to pull them out after. Here no \
               tool can reach them, so they stay in and block the way. Open up a side, give the roof \
               a slope of 45 degrees so that it needs no props, or print it in two halves.",
    },
];

/// The lesson of a code; `None` for one that nobody finds any more.
///
/// ```
/// use partpledge_printability::lesson;
/// assert_eq!(lesson("thin-wall").unwrap().name, "thin wall");
/// assert!(lesson("no-such-code").is_none());
/// ```
#[must_use]
pub fn lesson(code: &str) -> Option<&'static Lesson> {
    LESSONS.iter().find(|lesson| lesson.code == code)
}

#[cfg(test)]
mod tests;
