//! The invented demo region and its generated parts.
//!
//! Everything here is made up: the valley, its schools and teams, and parts drawn by the few
//! lines in [`parts`]. The files are written as STL, OBJ and 3MF and read back like anyone's.

mod crew;
mod outline;
pub mod parts;
pub mod reading;
pub mod shapes;
mod solid;
mod spools;
mod wide;

pub use crew::{CREW, HUB, HUB_CLASS};
pub use spools::{DemoSpools, SPOOLS};
pub use wide::{team as fen_team, wide_fens};

use partpledge_formats::{RawMesh, RawPart, write};
use partpledge_units::length::LengthUnit;

/// The region file of the Ambrel Valley.
#[must_use]
pub fn ambrel_valley() -> &'static str {
    include_str!("../data/ambrel-valley.toml")
}

/// A bench for spares at its qualifier on 13 March 2027: tables to go with those of the region file.
#[must_use]
pub fn meeting() -> &'static str {
    include_str!("../data/meeting.toml")
}

/// The region file with that bench.
#[must_use]
pub fn with_a_meeting() -> String {
    format!("{}{}", ambrel_valley(), meeting())
}

/// A part file that a team of the demo region sends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DemoFile {
    /// File name.
    pub name: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Copies wanted.
    pub copies: u32,
    /// Material code.
    pub material: &'static str,
    /// Team that sends it.
    pub team: &'static str,
}

/// How a demo file is written.
#[derive(Clone, Copy)]
enum Form {
    Binary,
    Ascii,
    Obj,
    ThreeMf,
}

/// Name, part, form, copies, material, team.
type Row = (
    &'static str,
    fn() -> RawMesh,
    Form,
    u32,
    &'static str,
    &'static str,
);

const ROWS: [Row; 14] = [
    (
        "float-arm-bracket.stl",
        parts::bracket,
        Form::Binary,
        2,
        "PETG",
        "Newt Works",
    ),
    (
        "wheel-hub.3mf",
        parts::wheel_hub,
        Form::ThreeMf,
        4,
        "PETG",
        "Silt Sisters",
    ),
    (
        "gear-plate-24.stl",
        parts::gear_plate,
        Form::Ascii,
        2,
        "PLA",
        "Reed Runners",
    ),
    (
        "hollow-ball.obj",
        parts::hollow_ball,
        Form::Obj,
        1,
        "PLA",
        "Eel Drive",
    ),
    (
        "sensor-mount.stl",
        parts::sensor_mount,
        Form::Binary,
        3,
        "PLA",
        "Sedge Gears",
    ),
    (
        "cable-clip.obj",
        parts::cable_clip,
        Form::Obj,
        12,
        "TPU",
        "Otter Torque",
    ),
    (
        "battery-cradle.3mf",
        parts::battery_cradle,
        Form::ThreeMf,
        1,
        "PETG",
        "Bogwheel",
    ),
    (
        "hex-spacer.stl",
        parts::hex_spacer,
        Form::Binary,
        8,
        "PLA",
        "Pike Circuit",
    ),
    (
        "axle-washer.obj",
        parts::axle_washer,
        Form::Obj,
        20,
        "PLA",
        "Marsh Lantern",
    ),
    (
        "motor-plate.3mf",
        parts::motor_plate,
        Form::ThreeMf,
        2,
        "ASA",
        "Tidal Cogs",
    ),
    (
        "bumper-corner.stl",
        parts::bumper_corner,
        Form::Binary,
        4,
        "TPU",
        "Frogspan",
    ),
    (
        "torn-tray.stl",
        parts::torn_tray,
        Form::Binary,
        1,
        "PLA",
        "Mudlark Motion",
    ),
    (
        "pulley-in-inches.stl",
        parts::pulley_in_inches,
        Form::Binary,
        1,
        "PLA",
        "Sluice Crew",
    ),
    (
        "patched-gear.stl",
        parts::patched_gear,
        Form::Binary,
        1,
        "PLA",
        "Peat Pistons",
    ),
];

/// The files of the demo, three of them with a defect that teaches something.
#[must_use]
pub fn files() -> Vec<DemoFile> {
    let file = |&(name, part, form, copies, material, team): &Row| {
        let mesh = part();
        let title = name.split('.').next().unwrap_or(name);
        let bytes = match form {
            Form::Binary => write::stl_binary(&mesh),
            Form::Ascii => write::stl_ascii(&mesh, title),
            Form::Obj => write::obj(&mesh, title),
            Form::ThreeMf => {
                let part = RawPart {
                    name: title.to_owned(),
                    mesh,
                };
                write::three_mf(&[part], LengthUnit::Millimetre)
            }
        };
        DemoFile {
            name,
            bytes,
            copies,
            material,
            team,
        }
    };
    ROWS.iter().map(file).collect()
}
