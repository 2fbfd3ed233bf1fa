### programs

programs-heading = The program our printer will run
programs-all-used = Every word of it was used.
programs-we-count = We count these and guess nothing. What they take is not in the time.
programs-send-again = If you have changed it, send it again; the last one counts.
programs-send = Send the motion program that you have made for this plate. We plan with its time instead of ours.
programs-promises-stay = Promises already given stay as they are.
programs-file = The program
programs-file-hint = A text with lines such as G1 X10 Y10; up to 100 MB.
programs-reading = Reading the program…
programs-use = Use its time
programs-we-read = We read its time, and whether it stays on the bed and within the heat of your kind of printer. We don’t look at anything else in it: check it as you always do before you start.
programs-times-yours = Worked out { $ours }; your program takes { $takes }.
programs-times-hosts = Worked out { $ours }; the host’s program takes { $takes }.
programs-takes-yours = Your program takes { $takes }.
programs-takes-hosts = The host’s program takes { $takes }.
programs-levelling = { $n ->
    [one] { $n } minute of that is for measuring the bed: the program starts it, but does not say how long it takes.
   *[other] { $n } minutes of that are for measuring the bed: the program starts it, but does not say how long it takes.
}
programs-uses = { $layers ->
    [one] It uses { $grams } g of plastic in { $layers } layer.
   *[other] It uses { $grams } g of plastic in { $layers } layers.
}
programs-elsewhere = The plate is planned on { $printer } now, a printer of another kind. The program does not count there, and the time we worked out holds.
programs-sent = { $file }, sent { $at }.
programs-words-not-used = { $n ->
    [one] { $n } word of it was not used
   *[other] { $n } words of it were not used
}
programs-word-times = { $n ->
    [one] { $word }, { $n } time
   *[other] { $word }, { $n } times
}
programs-not-timed = moves from a place that nobody knows
programs-lines-passed-over = lines too long to be read
programs-axis-no-number = axis without a number
programs-arc-not-timed = arc not timed
programs-other-text = (other text)
programs-broken-line = { $word } (broken line)
programs-no-temperature = { $word } (no temperature)
programs-no-time = { $word } (no time)
programs-not-above-zero = { $word } (not above zero)
programs-elsewhere-printed = This plate is on another bench’s printer.
programs-who-sends = Only the host that prints it, or the coordinator, sends its program.
programs-form-damaged = This form is damaged. Choose the file again here.
programs-choose = Choose the program’s file.
programs-choose-one = Choose one file: the program of this plate.
programs-too-large = That is more than 100 MB, and we take no more. Write the program without comments, or ask the coordinator. Nothing was changed.
programs-broken = The file did not arrive whole. Look at your network and send it again. Nothing was changed.
programs-too-slow = The file came too slowly, and we stopped waiting. Look at your network and send it again. Nothing was changed.
programs-refused = { $why }. { $what_to_do } Nothing was changed.
programs-zero-elsewhere = Check that the program is made for this bed, with its zero at the front left corner. One with its zero elsewhere can’t be used here yet.
programs-no-place = this plate has no printer in the plan yet
programs-send-later = Send the program once the plate has its place.
programs-lays-nothing = this program lays no plastic
programs-choose-printing = Choose the program that prints this plate.
programs-save-as-text = Save the program as plain text and send that.
programs-choose-motion = Choose the motion program that your printer runs: a text with lines such as G1 X10 Y10.
programs-binary = this is a binary file, not a motion program (a zero byte at { $at_byte })
programs-no-motion = nothing in this file moves a print head ({ $blocks } lines were looked at)
programs-feed-mode = line { $line }: { $word } gives speeds in a way that can't be timed here
programs-write-speeds = Write the program with speeds in mm or inches a minute.
programs-larger-than-bed = What is laid is { $size } mm in { $axis }, and this class has room for { $limit } mm.
programs-outside-bed = The head moves to { $axis } = { $reached } mm; the bed goes from 0 to { $limit } mm.
programs-nozzle-too-hot = The nozzle is set to { $asked } °C; this class goes up to { $limit } °C.
programs-bed-too-hot = The bed is set to { $asked } °C; this class goes up to { $limit } °C.
programs-larger-than-bed-do = Make the program for a smaller plate, or choose a class with a larger bed.
programs-outside-bed-do = Check that the program is made for this bed, with its zero at the front left corner. If its zero is elsewhere on purpose, this is no fault.
programs-too-hot-do = Do not run it on this class. Make the program again for this material and class.
