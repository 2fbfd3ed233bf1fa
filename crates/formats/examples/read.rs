//! Reads model files and prints, for each, its format, parts and triangles, or why it was refused.
//!
//! `cargo run -p partpledge-formats --example read -- FILES...`
//!
//! One line a file: the path, then `read KIND PARTS TRIANGLES VERTICES` or `CODE MESSAGE`.

use partpledge_formats::{Limits, RawMesh, read_model};

fn main() {
    for path in std::env::args().skip(1) {
        let answer = match std::fs::read(&path) {
            Err(error) => format!("unreadable\t{error}"),
            Ok(bytes) => match read_model(&bytes, &path, &Limits::command_line()) {
                Err(error) => format!("{}\t{error}", error.code()),
                Ok(file) => {
                    let sum = |count: fn(&RawMesh) -> usize| {
                        file.parts
                            .iter()
                            .map(|part| count(&part.mesh))
                            .sum::<usize>()
                    };
                    let triangles = sum(|mesh| mesh.triangles.len());
                    let vertices = sum(|mesh| mesh.vertices.len());
                    let parts = file.parts.len();
                    format!("read\t{:?}\t{parts}\t{triangles}\t{vertices}", file.kind)
                }
            },
        };
        println!("{path}\t{answer}");
    }
}
