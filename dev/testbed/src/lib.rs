//! The invented demo region and its generated parts.
//!
//! Everything here is made up: the valley, its schools and teams, and parts drawn by the few
//! lines in [`parts`]. The files are written as STL, OBJ and 3MF and read back like anyone's.

mod outline;
pub mod parts;
mod solid;

use partpledge_formats::{RawPart, write};
use partpledge_units::length::LengthUnit;

/// The region file of the Ambrel Valley.
#[must_use]
pub fn ambrel_valley() -> &'static str {
    include_str!("../data/ambrel-valley.toml")
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

/// The files of the demo, three of them with a defect that teaches something.
#[must_use]
pub fn files() -> Vec<DemoFile> {
    use partpledge_formats::RawMesh;
    let three_mf = |mesh: &RawMesh, name: &str| {
        let part = RawPart {
            name: name.to_owned(),
            mesh: mesh.clone(),
        };
        write::three_mf(&[part], LengthUnit::Millimetre)
    };
    let stl = |mesh: &RawMesh| write::stl_binary(mesh);
    let list: [(&str, Vec<u8>, u32, &str, &str); 14] = [
        (
            "float-arm-bracket.stl",
            stl(&parts::bracket()),
            2,
            "PETG",
            "Newt Works",
        ),
        (
            "wheel-hub.3mf",
            three_mf(&parts::wheel_hub(), "wheel hub"),
            4,
            "PETG",
            "Silt Sisters",
        ),
        (
            "gear-plate-24.stl",
            write::stl_ascii(&parts::gear_plate(), "gear"),
            2,
            "PLA",
            "Reed Runners",
        ),
        (
            "hollow-ball.obj",
            write::obj(&parts::hollow_ball(), "ball"),
            1,
            "PLA",
            "Eel Drive",
        ),
        (
            "sensor-mount.stl",
            stl(&parts::sensor_mount()),
            3,
            "PLA",
            "Sedge Gears",
        ),
        (
            "cable-clip.obj",
            write::obj(&parts::cable_clip(), "clip"),
            12,
            "TPU",
            "Otter Torque",
        ),
        (
            "battery-cradle.3mf",
            three_mf(&parts::battery_cradle(), "cradle"),
            1,
            "PETG",
            "Bogwheel",
        ),
        (
            "hex-spacer.stl",
            stl(&parts::hex_spacer()),
            8,
            "PLA",
            "Pike Circuit",
        ),
        (
            "axle-washer.obj",
            write::obj(&parts::axle_washer(), "washer"),
            20,
            "PLA",
            "Marsh Lantern",
        ),
        (
            "motor-plate.3mf",
            three_mf(&parts::motor_plate(), "plate"),
            2,
            "ASA",
            "Tidal Cogs",
        ),
        (
            "bumper-corner.stl",
            stl(&parts::bumper_corner()),
            4,
            "TPU",
            "Frogspan",
        ),
        (
            "torn-tray.stl",
            stl(&parts::torn_tray()),
            1,
            "PLA",
            "Mudlark Motion",
        ),
        (
            "pulley-in-inches.stl",
            stl(&parts::pulley_in_inches()),
            1,
            "PLA",
            "Sluice Crew",
        ),
        (
            "patched-gear.stl",
            stl(&parts::patched_gear()),
            1,
            "PLA",
            "Peat Pistons",
        ),
    ];
    list.into_iter()
        .map(|(name, bytes, copies, material, team)| DemoFile {
            name,
            bytes,
            copies,
            material,
            team,
        })
        .collect()
}
