//! Bytes made to do harm. Each is refused by its code, before memory or time is spent.

use std::fmt::Write as _;
use std::io::{Cursor, Write};

use crate::support::packs;
use packs::{CORE, box_mesh, code, corner_object, model, package, read, rels, zip_of};
use partpledge_formats::{Limits, ReadError, read_model, write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// Finds `from` in the zip's headers and puts `to`, as long, in its place.
fn patched(bytes: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    let mut out = bytes.to_vec();
    let mut at = 0;
    while at + from.len() <= out.len() {
        if &out[at..at + from.len()] == from {
            out[at..at + to.len()].copy_from_slice(to);
        }
        at += 1;
    }
    out
}

#[test]
fn nothing_and_blanks_are_empty() {
    for bytes in [&b""[..], b"  \n\t\r\n", b"\xef\xbb\xbf\n"] {
        assert_eq!(code(bytes, "x.stl"), "empty-file");
    }
}

#[test]
fn four_thousand_million_announced_triangles_take_no_memory() {
    let mut bytes = vec![1_u8; 84 + 50 * 3];
    bytes[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    assert_eq!(code(&bytes, "x.stl"), "truncated");
}

#[test]
fn eleven_million_triangles_are_refused_by_their_count() {
    let n = 11_000_000_u32;
    let mut bytes = vec![0_u8; 84 + 50 * 11_000_000];
    bytes[80..84].copy_from_slice(&n.to_le_bytes());
    let limit = 10_000_000;
    let found = read_model(&bytes, "x.stl", &Limits::command_line());
    assert_eq!(
        found,
        Err(ReadError::TooManyTriangles {
            triangles: 11_000_000,
            limit
        })
    );
    assert_eq!(code(&bytes, "x.stl"), "file-too-large");
}

#[test]
fn a_zip_bomb_stops_at_the_ratio_and_at_the_total() {
    let zeros = vec![b' '; 30_000_000];
    let rels = rels("/a.model");
    let bomb = zip_of(&[("_rels/.rels", rels.as_bytes()), ("a.model", &zeros)]);
    assert!(bomb.len() < 40_000);
    assert_eq!(code(&bomb, "x.3mf"), "archive-bomb");
    assert_eq!(code(&zip_of(&[("a.stl", &zeros)]), "x.zip"), "archive-bomb");
    let small = vec![b' '; 900_000];
    let many: Vec<(String, &[u8])> = (0..40).map(|i| (format!("{i}.stl"), &small[..])).collect();
    let many: Vec<(&str, &[u8])> = many
        .iter()
        .map(|(name, bytes)| (name.as_str(), *bytes))
        .collect();
    let limits = Limits {
        max_inflated_bytes: 10_000_000,
        ..Limits::server()
    };
    let error = read_model(&zip_of(&many), "x.zip", &limits).unwrap_err();
    assert_eq!(error.code(), "archive-bomb");
}

#[test]
fn a_bomb_of_packages_inside_a_zip_shares_one_allowance() {
    let filler = "<!-- ".to_owned() + &" ".repeat(900_000) + "-->";
    let text = model("", &corner_object(1, ""), "<item objectid=\"1\"/>") + &filler;
    let inner = package(&text);
    let many: Vec<(String, &[u8])> = (0..40).map(|i| (format!("{i}.3mf"), &inner[..])).collect();
    let many: Vec<(&str, &[u8])> = many
        .iter()
        .map(|(name, bytes)| (name.as_str(), *bytes))
        .collect();
    let bytes = zip_of(&many);
    assert_eq!(read(&bytes, "x.zip").unwrap().parts.len(), 40);
    let limits = Limits {
        max_inflated_bytes: 10_000_000,
        ..Limits::server()
    };
    let error = read_model(&bytes, "x.zip", &limits).unwrap_err();
    assert_eq!(error.code(), "archive-bomb");
}

#[test]
fn a_size_that_lies_does_not_let_more_through() {
    let honest = 2_500_000_u32;
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("a.stl", options).unwrap();
    zip.write_all(&vec![b' '; honest as usize]).unwrap();
    let bytes = zip.finish().unwrap().into_inner();
    let lying = patched(&bytes, &honest.to_le_bytes(), &1_000_u32.to_le_bytes());
    assert_ne!(bytes, lying);
    let found = code(&lying, "x.zip");
    assert!(["archive-bomb", "bad-archive"].contains(&found), "{found}");
}

#[test]
fn document_types_and_entities_are_refused_unread() {
    let bomb = format!(
        "<?xml version=\"1.0\"?><!DOCTYPE m [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>\
         <model xmlns=\"{CORE}\"><resources/><build/></model>"
    );
    assert_eq!(code(&package(&bomb), "x.3mf"), "xml-entities");
    let in_rels = format!("<!DOCTYPE r>{}", rels("/a.model"));
    assert_eq!(
        code(&zip_of(&[("_rels/.rels", in_rels.as_bytes())]), "x.3mf"),
        "xml-entities"
    );
    let unknown = model(
        "",
        &corner_object(1, "name=\"&a;\""),
        "<item objectid=\"1\"/>",
    );
    assert_eq!(code(&package(&unknown), "x.3mf"), "bad-model");
}

#[test]
fn paths_that_lead_out_of_the_archive_are_refused() {
    let stl = write::stl_binary(&box_mesh([1.0; 3]));
    for name in [
        "../arm.stl",
        "a/../../arm.stl",
        "/etc/arm.stl",
        "..\\arm.stl",
        "C:\\arm.stl",
    ] {
        assert_eq!(
            code(&zip_of(&[(name, &stl)]), "x.zip"),
            "path-outside-archive",
            "{name}"
        );
    }
    for target in ["/../a.model", "/a/%2e%2e/b.model", "file:///etc/passwd", ""] {
        let bytes = zip_of(&[("_rels/.rels", rels(target).as_bytes()), ("a.model", b"x")]);
        let found = code(&bytes, "x.3mf");
        assert!(
            ["path-outside-archive", "bad-model"].contains(&found),
            "{target}: {found}"
        );
    }
}

#[test]
fn locked_or_oddly_packed_or_damaged_entries_are_refused() {
    let stl = write::stl_binary(&box_mesh([1.0; 3]));
    let bytes = zip_of(&[("arm.stl", &stl)]);
    let header = |method: u8, flags: u8| [20, 0, flags, 0, method, 0];
    let entry = bytes
        .windows(6)
        .find(|w| w[..2] == [20, 0] && w[4..] == [8, 0])
        .unwrap()
        .to_vec();
    assert_eq!(entry[3..], header(8, entry[2])[3..]);
    let change = |method: u8, flags: u8| {
        let mut to = entry.clone();
        (to[2], to[4]) = (entry[2] | flags, method);
        patched(&bytes, &entry, &to)
    };
    assert_eq!(code(&change(8, 1), "x.zip"), "encrypted-archive");
    assert_eq!(code(&change(12, 0), "x.zip"), "unsupported-compression");
    let mut damaged = bytes.clone();
    damaged[60] ^= 0x55;
    assert_eq!(code(&damaged, "x.zip"), "bad-archive");
    assert_eq!(code(&bytes[..bytes.len() - 30], "x.zip"), "bad-archive");
    assert_eq!(code(b"PK\x03\x04", "x.3mf"), "bad-archive");
}

#[test]
fn more_entries_than_allowed_are_refused() {
    let names: Vec<String> = (0..30).map(|i| format!("{i}.txt")).collect();
    let entries: Vec<(&str, &[u8])> = names.iter().map(|n| (n.as_str(), &b""[..])).collect();
    let limits = Limits {
        max_entries: 29,
        ..Limits::server()
    };
    let error = read_model(&zip_of(&entries), "x.zip", &limits).unwrap_err();
    assert_eq!(
        error,
        ReadError::TooManyEntries {
            entries: 30,
            limit: 29
        }
    );
}

#[test]
fn a_bomb_by_reference_is_counted_before_it_is_copied() {
    // Each object places the one before it ten times: 4 x 10^9 triangles in a kilobyte or two.
    let mut resources = corner_object(1, "");
    for id in 2..=10 {
        let inside = format!("<component objectid=\"{}\"/>", id - 1).repeat(10);
        write!(
            resources,
            "<object id=\"{id}\"><components>{inside}</components></object>"
        )
        .unwrap();
    }
    let bytes = package(&model("", &resources, "<item objectid=\"10\"/>"));
    let (triangles, limit) = (4_000_000_000, 2_000_000);
    assert_eq!(
        read(&bytes, "x.3mf"),
        Err(ReadError::TooManyTriangles { triangles, limit })
    );

    // The same of empty objects, and of corners that no triangle uses.
    let hollow = resources.replace(packs::CORNER, "");
    let bytes = package(&model("", &hollow, "<item objectid=\"10\"/>"));
    assert_eq!(code(&bytes, "x.3mf"), "too-many-placed");
    let first = packs::CORNER.find("<triangle ").unwrap();
    let last = packs::CORNER.rfind("</triangles>").unwrap();
    let loose = resources.replace(&packs::CORNER[first..last], "");
    let bytes = package(&model("", &loose, "<item objectid=\"10\"/>"));
    assert_eq!(code(&bytes, "x.3mf"), "too-many-vertices");
}

#[test]
fn millions_of_empty_objects_are_refused_while_they_are_read() {
    let text = model(
        "",
        &"<object id=\"1\"/>".repeat(2),
        "<item objectid=\"1\"/>",
    );
    assert_eq!(code(&package(&text), "x.3mf"), "bad-model");
    let many: Vec<String> = (0..1_000_001)
        .map(|id| format!("<object id=\"{id}\"/>"))
        .collect();
    let text = model("", &many.concat(), "<item objectid=\"1\"/>");
    assert_eq!(code(&package(&text), "x.3mf"), "too-many-placed");
}

#[test]
fn one_endless_line_of_solids_takes_no_longer_than_many_lines() {
    // Looking ahead to the end of the line at each of these would take hours.
    let text = "solid facet normal ".repeat(1_000_000);
    assert_eq!(code(text.as_bytes(), "x.stl"), "truncated");
}

#[test]
fn objects_inside_themselves_or_too_deep_are_refused() {
    let holder = |id: u32, inside: u32| {
        format!(
            "<object id=\"{id}\"><components><component objectid=\"{inside}\"/></components></object>"
        )
    };
    let circle = holder(1, 2) + &holder(2, 1);
    assert_eq!(
        code(
            &package(&model("", &circle, "<item objectid=\"1\"/>")),
            "x.3mf"
        ),
        "too-deep"
    );
    let itself = holder(1, 1);
    assert_eq!(
        code(
            &package(&model("", &itself, "<item objectid=\"1\"/>")),
            "x.3mf"
        ),
        "too-deep"
    );

    // Items that reach the chain at every height: what was counted before must not hide its depth.
    let chain: Vec<String> = (2..=20_000).map(|id| holder(id, id - 1)).collect();
    let resources = corner_object(1, "") + &chain.concat();
    let short = package(&model("", &resources, "<item objectid=\"33\"/>"));
    assert_eq!(code(&short, "x.3mf"), "read");
    let all: Vec<String> = (1..=20_000)
        .map(|id| format!("<item objectid=\"{id}\"/>"))
        .collect();
    assert_eq!(
        code(&package(&model("", &resources, &all.concat())), "x.3mf"),
        "too-deep"
    );
}

#[test]
fn elements_nested_without_end_do_not_exhaust_the_stack() {
    let deep = "<x>".repeat(60_000) + &"</x>".repeat(60_000);
    let text = model(
        "",
        &(deep + &corner_object(1, "")),
        "<item objectid=\"1\"/>",
    );
    assert_eq!(code(&package(&text), "x.3mf"), "read");
    let text = model("", &"<x>".repeat(3_000_000), "");
    let found = code(&package(&text), "x.3mf");
    assert!(
        ["bad-model", "truncated", "archive-bomb"].contains(&found),
        "{found}"
    );
}

#[test]
fn names_never_carry_control_characters_or_whole_novels() {
    let stl = write::stl_binary(&box_mesh([1.0; 3]));
    let name = format!("\u{1b}[31m{}\u{202e}.stl", "long ".repeat(100));
    let file = read(&stl, &name).unwrap();
    assert!(file.parts[0].name.chars().count() <= 80);
    assert!(file.parts[0].name.starts_with("[31mlong"));
    let text = format!("solid\nfacet\nvertex \u{1b}]0;{} 0 0\n", "x".repeat(10_000));
    let message = read(text.as_bytes(), "x.stl").unwrap_err().to_string();
    assert!(
        message.len() < 200 && !message.contains('\u{1b}'),
        "{message}"
    );
}

#[test]
fn every_refusal_has_a_code_a_message_and_something_to_do() {
    for (bytes, name) in [
        (&b""[..], "x.stl"),
        (b"hello", "x.xyz"),
        (b"ISO-10303-21;", "x.step"),
        (b"PK\x03\x04", "x.3mf"),
        (b"\x89PNG", "x.png"),
        (b"7z\xbc\xaf", "x.7z"),
        (b"v 1 2", "x.obj"),
    ] {
        let error = read(bytes, name).unwrap_err();
        assert!(
            error
                .code()
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        );
        assert!(
            error.what_to_do().ends_with('.') && error.to_string().len() > 10,
            "{error}"
        );
    }
}
