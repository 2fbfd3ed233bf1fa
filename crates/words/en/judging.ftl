### judging

judging-ways = Ways it could stand
judging-printed-like-this = It is printed like this
judging-was-printed-like-this = It was printed like this
judging-recommended = We recommend it
judging-would-change = What it would change.
judging-quick-guess = Minutes here are a quick guess, good for comparing ways. The date of a pledge counts every line that is laid.
judging-number = Number { $n }
judging-measured = Measured
judging-limit = Limit
judging-what-to-do = What to do.
judging-learn-why = Learn why
judging-source = Where the rule comes from:
judging-drawing-alt = Drawing of { $part } in clay
judging-size = { $x } × { $y } × { $z } mm, { $z } mm high as it stands
judging-stands-as-drawn = It will be printed standing as you drew it.
judging-stands-flat = It will be printed on one of its flat sides, like this.
judging-stands-so = It will be printed like this: { $way }.
judging-stood-as-drawn = It was printed standing as you drew it.
judging-stood-flat = It was printed on one of its flat sides, like this.
judging-stood-so = It was printed like this: { $way }.
judging-way-alt = { $part } in clay, { $way }
judging-way-as-drawn = as you drew it
judging-way-upside-down = upside down
judging-way-front = lying on its front
judging-way-back = lying on its back
judging-way-left = lying on its left side
judging-way-right = lying on its right side
judging-way-largest-face = on its largest flat face
judging-way-face = on flat face { $n } of { $area } mm²
judging-way-points = on its outer points, { $area } mm² between them
judging-way-longest = its longest direction upright
judging-way-middle = its middle direction upright
judging-way-shortest = its shortest direction upright
judging-way-turned-over = { $way }, turned over
judging-way-nth = { $way } ({ $n })
judging-way-tilted = tilted { $degrees } degrees to the { $side }
judging-side-right = right
judging-side-back-right = back right
judging-side-back = back
judging-side-back-left = back left
judging-side-left = left
judging-side-front-left = front left
judging-side-front = front
judging-side-front-right = front right
judging-much-the-same = Much the same.
judging-none-better = We measured other ways too. None is clearly better than standing as you drew it.
judging-we-turn = We turn it. Against the way you drew it: { $why }.
judging-it-stays = It stays as it was decided when you sent it: { $printed }. Today we would turn it: { $best }.
judging-as-you-asked = You asked for it as you drew it, and so it is printed. We would turn it: { $best }. Against the way you drew it: { $why }.
judging-about = about { $time }
judging-no-support = no support
judging-support = { $support } cm³ of support under { $overhang } cm² of overhang
judging-high = { $mm } mm high
judging-does-not-stand = does not stand by itself
judging-unsteady = stands unsteadily, tips over at { $degrees } degrees
judging-firm = stands firmly on { $area } cm²
judging-smooth = looks smooth
judging-rough = { $area } cm² of stepped or scarred surface
judging-fits = { $n ->
    [one] fits { $fits } of { $n } printer
   *[other] fits { $fits } of { $n } printers
}
judging-fits-turned = turned { $degrees } degrees it fits { $fits }
judging-fits-any-turn = each with its own turn { $fits }
judging-load = the load pulls at { $degrees } degrees to its layers (untested)
judging-time-more = about { $time } more
judging-time-less = about { $time } less
judging-no-support-now = no support instead of { $there } cm³
judging-support-more = { $volume } cm³ more support
judging-support-less = { $volume } cm³ less support
judging-higher = { $mm } mm higher
judging-lower = { $mm } mm lower
judging-rough-more = { $area } cm² more stepped or scarred surface
judging-rough-less = { $area } cm² less stepped or scarred surface
judging-fits-fewer = { $n ->
    [one] fits { $n } fewer printer
   *[other] fits { $n } fewer printers
}
judging-fits-more = { $n ->
    [one] fits { $n } more printer
   *[other] fits { $n } more printers
}
judging-hangs-more = { $area } mm² more hangs over nothing
judging-hangs-less = { $area } mm² less hangs over nothing
judging-stands-on = stands on { $here } mm² instead of { $there } mm²
judging-load-against = the load pulls at { $here } degrees to its layers instead of { $there }
judging-but = but { $what }
judging-tips-over = tips over at { $here } degrees instead of { $there }
judging-no-other-better = no other way is clearly better
judging-as-it-came = as it came
judging-same-as-it-came = much the same as it came
judging-elsewhere = { $name } in another place
judging-since = Since the version before: { $says }.
judging-nothing-mended = nothing that we found is mended
judging-the-one-mended = the one finding is mended
judging-all-mended = all { $count } findings are mended
judging-some-mended = { $n ->
    [one] { $count } of { $all } findings is mended
   *[other] { $count } of { $all } findings are mended
}
judging-are-new = { $n ->
    [one] { $count } is new
   *[other] { $count } are new
}
judging-mended = Mended: { $names }.
judging-still = Still there: { $names }.
judging-new = New: { $names }.
judging-fixed-none = fixed none of { $all }
judging-fixed-the-one = fixed the one finding
judging-fixed-both = fixed both findings
judging-fixed-all = fixed all { $count }
judging-fixed-some = fixed { $count } of { $all }
judging-fixed-new = { $count } new
