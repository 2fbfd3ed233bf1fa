//! A motion program in, its time, filament and layers out, line by line.

use partpledge_catalogue::{FILAMENT_DIAMETER_MM, Material, PrinterClass};

use super::answer::{RetimeError, Retimed};
use super::block::{Act, Block, is_command, is_ours, name, tenths};
use super::findings::found;
use super::lines::Lines;
use super::machine::{Machine, Target, Way};
use super::tally::Words;
use super::words::{Reading, Word, read};
use crate::bead::filament_area_mm2;
use crate::estimate::EstimateError;

/// Longest dwell taken at its word, s: a day.
const LONGEST_DWELL_S: f64 = 86_400.0;

/// A program being timed, piece by piece; memory does not grow with its length.
///
/// ```
/// use partpledge_toolpath::program::Retiming;
/// let catalogue = partpledge_catalogue::Catalogue::built_in();
/// let (class, pla) = (catalogue.class("compact").unwrap(), catalogue.material("PLA").unwrap());
/// let mut retiming = Retiming::new(class, pla).unwrap();
/// // 100 mm there at 60 mm/s and 1000 mm/s²: 100 / 60 + 60 / 1000 s; a class limit of 60 caps 100.
/// retiming.feed(b"G21 G90\nG92 X0 Y0 Z0 E0\nG1 X100 E3 F6000\n").unwrap();
/// let told = retiming.finish().unwrap();
/// assert!((told.time_s - 1.726_666_667).abs() < 1e-8);
/// assert_eq!((told.layers, told.slowed), (1, 1));
/// ```
#[derive(Clone, Debug)]
pub struct Retiming {
    machine: Machine,
    density_g_mm3: f64,
    lines: Lines,
    scratch: Vec<Word>,
    words: Words,
    motion: Option<Way>,
    bytes: u64,
    line: u64,
    blocks: u64,
    checksums_wrong: u64,
    skippable: u64,
    ended: bool,
}

impl Retiming {
    /// Begins on a cold printer of that class.
    ///
    /// # Errors
    /// [`EstimateError::MaterialNotTaken`].
    pub fn new(class: &PrinterClass, material: &Material) -> Result<Self, EstimateError> {
        if !class.takes(&material.code) {
            let (class, material) = (class.code.clone(), material.code.clone());
            return Err(EstimateError::MaterialNotTaken { class, material });
        }
        Ok(Self {
            machine: Machine::new(class),
            density_g_mm3: material.density_g_mm3(),
            lines: Lines::default(),
            scratch: Vec::new(),
            words: Words::default(),
            motion: None,
            bytes: 0,
            line: 0,
            blocks: 0,
            checksums_wrong: 0,
            skippable: 0,
            ended: false,
        })
    }

    /// Takes the next bytes of the file, cut anywhere.
    ///
    /// # Errors
    /// [`RetimeError::Binary`] at a zero byte, [`RetimeError::FeedMode`].
    pub fn feed(&mut self, bytes: &[u8]) -> Result<(), RetimeError> {
        if let Some(at) = bytes.iter().position(|&b| b == 0) {
            let at_byte = self.bytes + at as u64;
            return Err(RetimeError::Binary { at_byte });
        }
        self.bytes += bytes.len() as u64;
        let mut lines = std::mem::take(&mut self.lines);
        let fed = lines.feed(bytes, |line| self.block(line));
        self.lines = lines;
        fed
    }

    /// What it took.
    ///
    /// # Errors
    /// [`RetimeError::NoMotion`] if no move could be timed, [`RetimeError::FeedMode`].
    pub fn finish(mut self) -> Result<Retimed, RetimeError> {
        let mut lines = std::mem::take(&mut self.lines);
        lines.end(|line| self.block(line))?;
        let mut machine = self.machine;
        let time_s = machine.now_s();
        if machine.moves == 0 {
            let blocks = self.blocks;
            return Err(RetimeError::NoMotion { blocks });
        }
        let gram = |mm: f64| mm * filament_area_mm2(FILAMENT_DIAMETER_MM) * self.density_g_mm3;
        let spent = machine.rolling.spent;
        let hottest = [machine.nozzle.highest_c, machine.bed.highest_c];
        Ok(Retimed {
            time_s,
            laying_s: spent.laying,
            travel_s: spent.travel,
            filament_alone_s: spent.feeding,
            dwell_s: machine.dwell_s,
            heating_s: machine.heating_s,
            filament_mm: machine.filament_mm,
            laid_filament_mm: machine.laid_filament_mm,
            mass_g: gram(machine.filament_mm),
            laid_mass_g: gram(machine.laid_filament_mm),
            layers: machine.heights.count(),
            climbing_mm: machine.climbing_mm,
            laid: machine.laid,
            moved: machine.moved,
            nozzle_c: hottest[0],
            bed_c: hottest[1],
            blocks: self.blocks,
            moves: machine.moves,
            slowed: machine.capped,
            not_timed: machine.not_timed,
            checksums_wrong: self.checksums_wrong,
            lines_passed_over: lines.passed_over,
            skippable: self.skippable,
            cuts: machine.rolling.cuts,
            cuts_at_most_s: machine.rolling.cuts_at_most_s,
            words: self.words.list(),
            findings: found(&machine.class, machine.laid, machine.moved, hottest),
        })
    }

    fn block(&mut self, line: &[u8]) -> Result<(), RetimeError> {
        self.line += 1;
        if self.ended {
            return Ok(());
        }
        let mut words = std::mem::take(&mut self.scratch);
        let told = read(line, &mut words);
        let done = self.carry_out(&words, &told);
        self.scratch = words;
        done
    }

    fn carry_out(&mut self, words: &[Word], told: &Reading) -> Result<(), RetimeError> {
        self.skippable += u64::from(told.skippable);
        self.checksums_wrong += u64::from(told.checksum == Some(false));
        let block = Block::of(words);
        if block.nothing && told.stranger.is_none() {
            return Ok(());
        }
        self.blocks += 1;
        let commands = || words.iter().filter(|word| is_command(word));
        if let Some(stranger) = &told.stranger {
            self.broken(commands().next(), &block, stranger);
            return Ok(());
        }
        let mut act = Act::Nothing;
        let mut strange = false;
        for command in commands() {
            match self.command(command, &block)? {
                Meant::Done => {}
                Meant::Act(asked) => act = asked,
                Meant::Strange => strange = true,
            }
        }
        let modal = !strange && act == Act::Nothing && self.motion.is_some();
        if modal && block.names_a_place() {
            act = Act::Move;
        }
        if !strange || act != Act::Nothing {
            self.act(act, &block);
        }
        Ok(())
    }

    /// A line that can't be read to its end is not used.
    fn broken(&mut self, command: Option<&Word>, block: &Block, stranger: &str) {
        let Some(command) = command else {
            self.words.count(stranger);
            if block.names_a_place() {
                self.machine.lose([true; 3]);
            }
            return;
        };
        let name = name(command);
        if command.letter == b'G' && command.value.is_some_and(|v| v < 4.0) {
            self.machine.lose([true; 3]);
        }
        if is_ours(command) {
            self.words.count(&format!("{name} (broken line)"));
        } else {
            self.words.count(&name);
        }
    }

    fn command(&mut self, word: &Word, block: &Block) -> Result<Meant, RetimeError> {
        let machine = &mut self.machine;
        match (word.letter, tenths(word)) {
            (b'G', Some(way @ (0 | 10 | 20 | 30))) => {
                self.motion = Some(match way {
                    0 => Way::Rapid,
                    10 => Way::Straight,
                    20 => Way::Clockwise,
                    _ => Way::CounterClockwise,
                });
                return Ok(Meant::Act(Act::Move));
            }
            (b'G', Some(40)) => return Ok(Meant::Act(Act::Dwell)),
            (b'G', Some(920)) => return Ok(Meant::Act(Act::Preset)),
            (b'G', Some(170)) => machine.flat = true,
            (b'G', Some(180 | 190)) => machine.flat = false,
            (b'G', Some(200)) => machine.mm_per_unit = 25.4,
            (b'G', Some(210)) => machine.mm_per_unit = 1.0,
            (b'G', Some(900)) => machine.incremental = false,
            (b'G', Some(910)) => machine.incremental = true,
            (b'G', Some(940)) => {}
            (b'G', Some(930 | 950)) => {
                let (word, line) = (name(word), self.line);
                return Err(RetimeError::FeedMode { word, line });
            }
            (b'M', Some(20 | 300)) => self.ended = true,
            (b'M', Some(820)) => machine.filament_incremental = Some(false),
            (b'M', Some(830)) => machine.filament_incremental = Some(true),
            (b'M', Some(1040 | 1090 | 1400 | 1900)) => self.heater(word, block),
            _ => {
                self.words.count(&name(word));
                self.lose_after(word, block);
                return Ok(Meant::Strange);
            }
        }
        Ok(Meant::Done)
    }

    /// A strange word of motion leaves the head where nobody knows: on the axes it names, or on
    /// all of them if it is one of those that drive to a reference point (common practice).
    fn lose_after(&mut self, word: &Word, block: &Block) {
        if word.letter != b'G' {
            return;
        }
        let named = [b'X', b'Y', b'Z'].map(|letter| block.has(letter));
        let to_reference = matches!(tenths(word), Some(270..=300));
        if named != [false; 3] {
            self.machine.lose(named);
        } else if to_reference {
            self.machine.lose([true; 3]);
        }
    }

    /// Sets a heater, and waits if the word says so. Common practice, no source: ISO 6983-1 has
    /// no words for heaters.
    fn heater(&mut self, word: &Word, block: &Block) {
        let waits = matches!(tenths(word), Some(1090 | 1900));
        let lower_too = if waits { block.value(b'R') } else { None };
        let Some(target_c) = block.value(b'S').or(lower_too) else {
            self.words
                .count(&format!("{} (no temperature)", name(word)));
            return;
        };
        let machine = &mut self.machine;
        let now_s = machine.now_s();
        let heater = match tenths(word) {
            Some(1040 | 1090) => &mut machine.nozzle,
            _ => &mut machine.bed,
        };
        heater.set(target_c, now_s);
        if waits {
            machine.heating_s += heater.wait_s(now_s);
        }
    }

    fn act(&mut self, act: Act, block: &Block) {
        self.feed_word(act, block);
        match act {
            Act::Move => {
                let Some(way) = self.motion else { return };
                if block.any_flag(b"XYZE") {
                    self.words.count("axis without a number");
                    self.machine.lose([true; 3]);
                } else if block.names_a_place() || block.has(b'I') || block.has(b'J') {
                    let arc = matches!(way, Way::Clockwise | Way::CounterClockwise);
                    if !self.machine.go(way, &block.target()) && arc {
                        self.words.count("arc not timed");
                    }
                }
            }
            Act::Preset if block.any_flag(b"XYZE") => self.words.count("axis without a number"),
            Act::Preset if block.names_a_place() => self.machine.preset(&block.target()),
            // Without an axis all of them are zero here.
            Act::Preset => self.machine.preset(&Target {
                axes: [Some(0.0); 3],
                filament: Some(0.0),
                to_middle: None,
            }),
            Act::Dwell => match (block.value(b'S'), block.value(b'P')) {
                (Some(s), _) => self.machine.dwell(s.min(LONGEST_DWELL_S)),
                (None, Some(ms)) => self.machine.dwell((ms / 1000.0).min(LONGEST_DWELL_S)),
                (None, None) => self.words.count("G4 (no time)"),
            },
            Act::Nothing => {}
        }
        for letter in block.left_over(act) {
            self.words.count(&char::from(letter).to_string());
        }
    }

    fn feed_word(&mut self, act: Act, block: &Block) {
        let Some(feed) = block
            .value(b'F')
            .filter(|_| matches!(act, Act::Move | Act::Nothing))
        else {
            return;
        };
        let mm_s = feed * self.machine.mm_per_unit / 60.0;
        if mm_s <= 0.0 {
            self.words.count("F (not above zero)");
        } else if act == Act::Move && self.motion == Some(Way::Rapid) {
            self.machine.rapid_mm_s = Some(mm_s);
        } else {
            self.machine.feed_mm_s = Some(mm_s);
        }
    }
}

/// What became of a command.
enum Meant {
    Done,
    Act(Act),
    Strange,
}

#[cfg(test)]
mod tests;
