### inspect: copies looked at one by one

inspect-title = Plate { $plate }, copy by copy
inspect-held = { $label }. Say of each copy that was held or recalled whether it is good.
inspect-off = { $label }. What you rework is held: its box waits until you say that it is good or scrap.
inspect-measure = Measure each size that is named below and write down what you read, in millimetres. Let the part cool first, clean the place, close the caliper gently, and read it twice. A copy outside its limits can’t be good.
inspect-still-here = What you typed is still here. Nothing was written down yet.
inspect-was-outside = A size of it was outside its limits: it is good only once that is measured again.
inspect-size-mm = { $size }, mm
inspect-good-limits = Good { $limits }
inspect-cannot-measure = It can’t be measured
inspect-why-not = Why not? The team reads this.
inspect-choose = Choose
inspect-good = Good
inspect-rework = Rework
inspect-scrap = Scrap
inspect-if-not-good = If it is not good, why?
inspect-copy = { $part }: copy { $copy }
inspect-form-off = Off the bed, copy by copy: plate { $plate }
inspect-form-copy = Copy { $copy } from plate { $plate }
inspect-off-the-bed = Off the bed
inspect-say-so = Say so
inspect-scrap-differs = What is not good of one part on it is made again, of another not.
inspect-limits = from { $least } to { $most } mm
inspect-too-large = { $mm } mm too large
inspect-too-small = { $mm } mm too small

inspect-none = No copy of that plate is held or recalled.
inspect-outside-held = Copy { $copy }, { $what }: { $outside }. Change it and measure it again, or it is scrap.
inspect-outside = Copy { $copy }, { $what }: { $outside }. Rework or scrap?
inspect-outside-before = Copy { $copy }, { $what }: it was { $outside }. Measure it again: no reason helps.
inspect-not-measured = Copy { $copy }, { $what }: measure it, or say why that can’t be done.
inspect-not-a-size = Copy { $copy }, { $what }: “{ $text }” is not a size. Write it like 8.05.
