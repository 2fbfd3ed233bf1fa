//! The ways up of one file, line by line, for a comparison with somebody else's hull
//! (`dev/python/compare_hull.py`).

use std::process::ExitCode;

use partpledge_formats::{Limits, read_model};
use partpledge_mesh::weld;
use partpledge_orientation::choices;

use crate::ways::unit_mm;

/// Prints the way up, the height in mm and the name of each way.
pub(crate) fn run(file: Option<&str>) -> ExitCode {
    let Some(file) = file else {
        eprintln!("give an STL file: standing FILE");
        return ExitCode::from(2);
    };
    let model = std::fs::read(file).map_err(|error| error.to_string());
    let model = model.and_then(|bytes| {
        read_model(&bytes, file, &Limits::command_line()).map_err(|error| error.to_string())
    });
    let model = match model {
        Ok(model) => model,
        Err(error) => {
            eprintln!("{file}: {error}");
            return ExitCode::from(2);
        }
    };
    for part in model.parts.iter().take(1) {
        for way in choices(&weld(&part.mesh, unit_mm(&part.mesh)).mesh, &[]) {
            let [.., x, y, z] = way.rotation;
            println!("{x} {y} {z} {} {}", way.height_mm, way.name);
        }
    }
    ExitCode::SUCCESS
}
