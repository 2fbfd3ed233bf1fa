//! Reads a model file and writes it as 3MF, each part placed twice, for checks by other programs.
//!
//! `cargo run -p partpledge-formats --example to_3mf -- IN OUT`

use std::error::Error;

use partpledge_formats::write::{Placement, three_mf_plate};
use partpledge_formats::{Limits, read_model};
use partpledge_units::length::LengthUnit;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [from, to] = args.as_slice() else {
        return Err("give IN and OUT".into());
    };
    let file = read_model(&std::fs::read(from)?, from, &Limits::command_line())?;
    let mut items = Vec::new();
    for object in 0..file.parts.len() {
        for x in [0.0, 250.0] {
            let transform = [0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0, x, 0.0, 0.0];
            items.push(Placement { object, transform });
        }
    }
    let unit = file.declared_unit.unwrap_or(LengthUnit::Millimetre);
    std::fs::write(to, three_mf_plate(&file.parts, &items, unit))?;
    Ok(())
}
