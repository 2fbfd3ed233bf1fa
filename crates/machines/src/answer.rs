//! One answer of an agent, read: a document `MTConnectStreams`, or one that says why there is none.

use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::EventMs;
use quick_xml::events::{BytesStart, Event};
use quick_xml::reader::Reader;
use quick_xml::{XmlVersion, escape};

use crate::execution::Execution;

/// Largest answer, bytes. What is asked for is some hundred bytes an observation.
pub const MOST_BYTES: usize = 2 * 1024 * 1024;
/// Deepest element; a stream has six levels.
const DEEPEST: usize = 32;
/// Most observations that are kept of one answer.
const MOST_KEPT: usize = 10_000;
/// Longest text of an element or attribute that is kept, characters.
const LONGEST: usize = 200;

/// Why an answer was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// Larger than [`MOST_BYTES`].
    #[error("the answer is larger than 2 MB")]
    TooLarge,
    /// Not UTF-8.
    #[error("the answer is no text in UTF-8")]
    NotText,
    /// Not XML, or it breaks off.
    #[error("the answer is no whole XML document")]
    Broken,
    /// It declares entities or a document type: agents have no use for them, attacks have.
    #[error("the answer has a document type, which is not read")]
    DocType,
    /// Elements within elements beyond a bound.
    #[error("the answer is nested too deep")]
    TooDeep,
    /// More observations than are kept.
    #[error("the answer has too many observations")]
    TooMany,
    /// Another document.
    #[error("the answer is no MTConnectStreams document")]
    NotStreams,
    /// Something that must be there is not.
    #[error("the answer has no {0}")]
    Missing(&'static str),
    /// A number or time that can't be read.
    #[error("the answer has a {0} that can’t be read")]
    Bad(&'static str),
    /// The agent says that it has not what it was asked for: a number that is gone, or never was.
    #[error("the agent has no such numbers")]
    OutOfRange,
    /// The agent says that it can't answer. Its own words are not taken: they would be shown.
    #[error("the agent refuses to answer")]
    Refused,
}

/// What an agent says of itself and its buffer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Header {
    /// `instanceId`: another one means that the agent began anew, and its numbers with it.
    pub instance: i64,
    /// Number of the oldest observation that it still has.
    pub first: i64,
    /// Number to ask from next.
    pub next: i64,
    /// Number of the newest.
    pub last: i64,
    /// `creationTime`, by the agent's clock.
    pub made_at: EventMs,
}

/// What an observation says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Says {
    /// What the controller does; `None` for a word that is not known.
    Execution(Option<Execution>),
    /// Whether the agent has word of the machine at all.
    Available(bool),
    /// The program that is loaded; `None` when the agent can't tell.
    Program(Option<String>),
}

/// One thing that an agent heard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Observation {
    /// `dataItemId`: which of the machine's values.
    pub item: String,
    /// Its number.
    pub sequence: i64,
    /// When, by the agent's or the machine's clock.
    pub at: EventMs,
    /// What.
    pub says: Says,
}

/// A machine, with what was heard of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// Its name at the agent.
    pub name: String,
    /// Its `uuid`.
    pub uuid: String,
    /// What was heard.
    pub observations: Vec<Observation>,
}

/// An answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Of the agent.
    pub header: Header,
    /// Of its machines.
    pub devices: Vec<Device>,
}

impl Answer {
    /// The machine of that name or `uuid`.
    #[must_use]
    pub fn device(&self, named: &str) -> Option<&Device> {
        let mut all = self.devices.iter();
        all.find(|device| device.name == named || device.uuid == named)
    }
}

/// Reads an answer.
///
/// # Errors
/// [`ReadError`], the first rule that is broken. Nothing is taken of an answer that breaks one.
///
/// ```
/// use partpledge_machines::{Execution, Says, read};
/// let text = r#"<MTConnectStreams><Header instanceId="9" firstSequence="1" nextSequence="4"
///     lastSequence="3" creationTime="2027-03-09T12:00:00Z"/><Streams>
///     <DeviceStream name="p1" uuid="u1"><ComponentStream component="Path"><Events>
///     <Execution dataItemId="x" sequence="3" timestamp="2027-03-09T11:59:58.250Z">ACTIVE</Execution>
///     </Events></ComponentStream></DeviceStream></Streams></MTConnectStreams>"#;
/// let answer = read(text.as_bytes()).unwrap();
/// let heard = &answer.device("u1").unwrap().observations[0];
/// assert_eq!(heard.says, Says::Execution(Some(Execution::Active)));
/// assert_eq!((answer.header.next, heard.sequence), (4, 3));
/// ```
pub fn read(bytes: &[u8]) -> Result<Answer, ReadError> {
    if bytes.len() > MOST_BYTES {
        return Err(ReadError::TooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|_| ReadError::NotText)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = Reader::from_str(text);
    let mut reading = Reading::default();
    loop {
        match reader.read_event().map_err(|_| ReadError::Broken)? {
            Event::DocType(_) => return Err(ReadError::DocType),
            Event::Start(tag) => reading.open(&tag)?,
            Event::Empty(tag) => {
                reading.open(&tag)?;
                reading.close()?;
            }
            Event::End(_) => reading.close()?,
            Event::Text(text) => reading.text(&text.xml_content(XmlVersion::Explicit1_0)),
            Event::CData(text) => reading.text(&text.xml_content(XmlVersion::Explicit1_0)),
            Event::GeneralRef(name) => {
                let letter = name.resolve_char_ref().map_err(|_| ReadError::Broken)?;
                match (letter, escape::resolve_xml_entity(&name)) {
                    (Some(letter), _) => reading.text(letter.encode_utf8(&mut [0; 4])),
                    (None, Some(text)) => reading.text(text),
                    // Without a document type there are no others.
                    (None, None) => return Err(ReadError::Broken),
                }
            }
            Event::Eof => return reading.finish(),
            _ => {}
        }
    }
}

/// An element that is read at the moment, with its text so far.
struct Open {
    what: What,
    item: String,
    sequence: i64,
    at: EventMs,
    text: String,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    Execution,
    Availability,
    Program,
}

/// What was read so far.
#[derive(Default)]
struct Reading {
    depth: usize,
    /// Whether the root is that of an answer, or of a refusal.
    streams: bool,
    refuses: bool,
    header: Option<Header>,
    /// Whether it refuses since it has no such numbers.
    out_of_range: bool,
    devices: Vec<Device>,
    kept: usize,
    /// Depth of the element that is kept, and it.
    open: Option<(usize, Open)>,
}

impl Reading {
    fn open(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(ReadError::TooDeep);
        }
        let name = tag.local_name();
        let name = name.as_ref();
        if self.depth == 1 {
            if self.streams || self.refuses {
                return Err(ReadError::Broken);
            }
            self.streams = name == "MTConnectStreams";
            self.refuses = matches!(name, "MTConnectError" | "MTConnectErrors");
            return (self.streams || self.refuses)
                .then_some(())
                .ok_or(ReadError::NotStreams);
        }
        match name {
            "Header" if self.depth == 2 => self.header(tag),
            "Error" if self.refuses => {
                let [code] = attributes(tag, ["errorCode"])?;
                self.out_of_range |= code.as_deref() == Some("OUT_OF_RANGE");
                Ok(())
            }
            "DeviceStream" if self.streams => {
                let [name, uuid] = attributes(tag, ["name", "uuid"])?;
                self.devices.push(Device {
                    name: name.unwrap_or_default(),
                    uuid: uuid.unwrap_or_default(),
                    observations: Vec::new(),
                });
                self.keeps_one_more()
            }
            "Execution" => self.observation(tag, What::Execution),
            "Availability" => self.observation(tag, What::Availability),
            "Program" => self.observation(tag, What::Program),
            _ => Ok(()),
        }
    }

    fn keeps_one_more(&mut self) -> Result<(), ReadError> {
        self.kept += 1;
        (self.kept <= MOST_KEPT)
            .then_some(())
            .ok_or(ReadError::TooMany)
    }

    fn header(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        if self.refuses {
            return Ok(());
        }
        let names = [
            "instanceId",
            "firstSequence",
            "nextSequence",
            "lastSequence",
            "creationTime",
        ];
        let [instance, first, next, last, made_at] = attributes(tag, names)?;
        let needed = |text: Option<String>, what| {
            let text = text.ok_or(ReadError::Missing(what))?;
            number(&text, what)
        };
        let made_at = made_at.ok_or(ReadError::Missing("creationTime"))?;
        let header = Header {
            instance: needed(instance, "instanceId")?,
            first: needed(first, "firstSequence")?,
            next: needed(next, "nextSequence")?,
            last: needed(last, "lastSequence")?,
            made_at: time(&made_at, "creationTime")?,
        };
        self.header = Some(header);
        Ok(())
    }

    fn observation(&mut self, tag: &BytesStart<'_>, what: What) -> Result<(), ReadError> {
        if self.devices.is_empty() || self.open.is_some() {
            return Ok(());
        }
        let names = ["dataItemId", "sequence", "timestamp", "subType"];
        let [item, sequence, at, part] = attributes(tag, names)?;
        // Of several programs, the one that runs; not one that is only on a list.
        let other = part.is_some_and(|part| !matches!(part.as_str(), "ACTIVE" | "MAIN"));
        if what == What::Program && other {
            return Ok(());
        }
        let (sequence, at) = (
            sequence.ok_or(ReadError::Missing("sequence"))?,
            at.ok_or(ReadError::Missing("timestamp"))?,
        );
        let open = Open {
            what,
            item: item.ok_or(ReadError::Missing("dataItemId"))?,
            sequence: number(&sequence, "sequence")?,
            at: time(&at, "timestamp")?,
            text: String::new(),
        };
        self.open = Some((self.depth, open));
        Ok(())
    }

    fn text(&mut self, text: &str) {
        if let Some((_, open)) = &mut self.open {
            let room = LONGEST.saturating_sub(open.text.chars().count());
            open.text.extend(text.chars().take(room));
        }
    }

    fn close(&mut self) -> Result<(), ReadError> {
        if let Some((depth, open)) = self.open.take() {
            if depth == self.depth {
                self.keep(open)?;
            } else {
                self.open = Some((depth, open));
            }
        }
        self.depth = self.depth.checked_sub(1).ok_or(ReadError::Broken)?;
        Ok(())
    }

    fn keep(&mut self, open: Open) -> Result<(), ReadError> {
        self.keeps_one_more()?;
        let text = open.text.trim();
        let says = match open.what {
            What::Execution => Says::Execution(Execution::parse(text)),
            What::Availability => Says::Available(text == "AVAILABLE"),
            What::Program => {
                let told = !text.is_empty() && text != "UNAVAILABLE";
                Says::Program(told.then(|| text.to_owned()))
            }
        };
        let observation = Observation {
            item: open.item,
            sequence: open.sequence,
            at: open.at,
            says,
        };
        if let Some(device) = self.devices.last_mut() {
            device.observations.push(observation);
        }
        Ok(())
    }

    fn finish(self) -> Result<Answer, ReadError> {
        if self.depth > 0 || !(self.streams || self.refuses) {
            return Err(ReadError::Broken);
        }
        if self.refuses {
            return Err(if self.out_of_range {
                ReadError::OutOfRange
            } else {
                ReadError::Refused
            });
        }
        Ok(Answer {
            header: self.header.ok_or(ReadError::Missing("Header"))?,
            devices: self.devices,
        })
    }
}

/// Attributes without a prefix; what is longer than is kept is cut.
fn attributes<const N: usize>(
    tag: &BytesStart<'_>,
    names: [&str; N],
) -> Result<[Option<String>; N], ReadError> {
    let mut out = [const { None }; N];
    for found in tag.attributes() {
        let found = found.map_err(|_| ReadError::Broken)?;
        if let Some(i) = names.iter().position(|&name| name == found.key.0) {
            let plain = found.normalized_value(XmlVersion::Explicit1_0);
            let plain = plain.map_err(|_| ReadError::Broken)?;
            out[i] = Some(plain.chars().take(LONGEST).collect());
        }
    }
    Ok(out)
}

/// Numbers of the standard have 64 bits without a sign; ours end one bit earlier.
fn number(text: &str, what: &'static str) -> Result<i64, ReadError> {
    let read = text.trim().parse::<i64>().ok();
    read.filter(|number| *number >= 0)
        .ok_or(ReadError::Bad(what))
}

fn time(text: &str, what: &'static str) -> Result<EventMs, ReadError> {
    parse_rfc3339(text.trim()).map_err(|_| ReadError::Bad(what))
}
