//! Writes the seed corpora: `cargo run --example seeds` inside `dev/fuzz`.
//!
//! Every byte is ours: our own writers, and texts made by hand to be awkward. What fuzzing found
//! lies beside the seeds under other names and is left alone.

#[expect(dead_code, reason = "the tests use the rest")]
#[path = "../../../crates/formats/tests/formats/support/packs.rs"]
mod packs;

use std::fs;
use std::io::{Cursor, Write};
use std::path::Path;

use packs::{CORNER, box_mesh};
use partpledge_formats::{RawMesh, write};
use partpledge_fuzz::pack::package;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const FACET: &str =
    "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n";
type Seed = (&'static str, Vec<u8>);

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus");
    for (target, seeds) in [
        ("stl", stl()),
        ("obj", obj()),
        ("three_mf", three_mf()),
        ("zip", zips()),
        ("read_model", any()),
        ("mesh", meshes()),
        ("retime", programs()),
        ("agent", agents()),
    ] {
        let folder = root.join(target);
        fs::create_dir_all(&folder).expect("the corpus folder can be made");
        for (name, bytes) in seeds {
            fs::write(folder.join(name), bytes).expect("a seed can be written");
        }
    }
}

/// Answers of an agent, each row with one thing that is awkward.
fn agents() -> Vec<Seed> {
    let one = |element: &str, n: i64, second: i64, says: &str| {
        let at = format!("2027-03-09T11:{:02}:{:02}.25Z", second / 60, second % 60);
        format!(
            "<m:{element} dataItemId=\"{element}\" sequence=\"{n}\" timestamp=\"{at}\">{says}</m:{element}>"
        )
    };
    let runs = |n, second, says: &str| one("Execution", n, second, says);
    let answer = |instance: i64, (first, next): (i64, i64), events: &str| {
        let last = next - 1;
        format!(
            "<?xml version=\"1.0\"?><m:MTConnectStreams xmlns:m=\"urn:mtconnect.org:MTConnectStreams:1.4\">\
             <m:Header instanceId=\"{instance}\" firstSequence=\"{first}\" nextSequence=\"{next}\" \
             lastSequence=\"{last}\" creationTime=\"2027-03-09T12:00:00Z\"/><m:Streams>\
             <m:DeviceStream name=\"p1\" uuid=\"u1\"><m:ComponentStream component=\"Path\"><m:Events>{events}\
             </m:Events></m:ComponentStream></m:DeviceStream></m:Streams></m:MTConnectStreams>"
        )
    };
    let now = answer(9, (1, 2), &runs(1, 0, "READY"));
    let after = |rest: &[String]| {
        let all: Vec<&str> = [now.as_str()]
            .into_iter()
            .chain(rest.iter().map(String::as_str))
            .collect();
        all.join("\n====\n").into_bytes()
    };
    let states = |all: &[&str]| -> String {
        (2..)
            .zip(all)
            .map(|(n, says)| runs(n, 60 * n, says))
            .collect()
    };
    let told = |all: &[&str]| {
        answer(
            9,
            (1, 2 + i64::try_from(all.len()).unwrap_or(0)),
            &states(all),
        )
    };
    let refusal = "<MTConnectError><Header instanceId=\"9\"/><Errors><Error errorCode=\"OUT_OF_RANGE\">gone</Error></Errors></MTConnectError>";
    vec![
        ("print", after(&[told(&["ACTIVE", "FEED_HOLD", "ACTIVE", "PROGRAM_COMPLETED", "READY"])])),
        ("stopped", after(&[told(&["ACTIVE", "STOPPED", "READY", "ACTIVE", "PROGRAM_STOPPED", "ACTIVE"])])),
        ("waits-first", after(&[told(&["OPTIONAL_STOP", "ACTIVE", "INTERRUPTED", "READY"])])),
        ("out-of-hearing", after(&[told(&["ACTIVE", "UNAVAILABLE", "ACTIVE", "READY"])])),
        ("not-there", after(&[answer(9, (1, 5), &(one("Availability", 2, 60, "UNAVAILABLE") + &states(&["", "ACTIVE"])))])),
        ("named-late", after(&[answer(9, (1, 4), &(runs(2, 60, "ACTIVE") + &one("Program", 3, 62, "plate&#45;17.gcode")))])),
        ("two-answers", after(&[told(&["ACTIVE"]), told(&["ACTIVE", "READY", "ACTIVE"])])),
        ("began-anew", after(&[told(&["ACTIVE"]), answer(10, (1, 2), &runs(1, 600, "READY")), answer(10, (1, 3), &runs(2, 660, "ACTIVE"))])),
        ("overrun", after(&[answer(9, (90, 99), &runs(95, 600, "ACTIVE"))])),
        ("refused", after(&[refusal.to_owned()])),
        ("two-devices", answer(9, (1, 3), &(runs(1, 0, "READY") + "</m:Events></m:ComponentStream></m:DeviceStream><m:DeviceStream name=\"p2\" uuid=\"u2\"><m:ComponentStream><m:Events>" + &runs(2, 0, "ACTIVE"))).into_bytes()),
        ("offsets", after(&[answer(9, (1, 3), &runs(2, 60, "ACTIVE").replace(".25Z", ".123456+01:00"))])),
        ("out-of-order", after(&[answer(9, (1, 5), &(runs(4, 240, "READY") + &runs(2, 120, "ACTIVE") + &runs(2, 121, "READY") + &runs(3, 10, "FEED_HOLD")))])),
        ("largest", after(&[answer(9, (1, i64::MAX), &runs(i64::MAX - 1, 60, "ACTIVE"))])),
        ("doctype", b"<!DOCTYPE a [<!ENTITY b \"c\">]><MTConnectStreams/>".to_vec()),
        ("only-refused", refusal.as_bytes().to_vec()),
    ]
}

/// Motion programs, each with one thing that is awkward.
fn programs() -> Vec<Seed> {
    const ZERO: &str = "G21 G90\nM83\nG92 X0 Y0 Z0 E0\n";
    let after = |rest: &str| format!("{ZERO}{rest}\n").into_bytes();
    vec![
        (
            "square",
            after("G1 X20 E1 F3600\nY20 E1\nX0 E1\nY0 E1\nM02"),
        ),
        (
            "packed",
            b"g21g90\nm83\ng92x0y0z0e0\ng1x5y5e.1f600\nx0".to_vec(),
        ),
        ("inches", after("G20 G91\nG1 X1 F60\nG3 X.1 Y.1 J.1")),
        ("round", after("G2 X0 Y0 I5 E1 F1200\nG3 X10 Y0 Z2 I5 E1")),
        (
            "no-arc",
            after("G1 X1 F60\nG2 X5 Y5 I90 J2\nG18\nG2 X1 Z1 I1"),
        ),
        (
            "numbered",
            b"N1 G92 X0 Y0*20\nN2 G1 X9 F600*33\nN3 G1 X0*1".to_vec(),
        ),
        (
            "heated",
            after("M140 S60\nM104 S210\nM190 S60\nM109 R180\nM104\nG4 P200\nG4 S1\nG4\nG0 X9"),
        ),
        (
            "strange",
            after("G28 X0\nG29\nM106 S99\nSET_A B=1\nT1\nG1 X5 F60\n/G1 X9\nM117 hello\nG1 X Y"),
        ),
        (
            "beyond",
            after("M104 S400\nM140 S200\nG1 X900 Y-900 Z900 E1 F9999999"),
        ),
        (
            "back-and-forth",
            after("G1 X9 E1 F600\nG1 E-3 F2400\nG0 X1\nG1 E5\nM82\nG1 X5 E1\nG92 E0\nX9 E1"),
        ),
        ("inverse", b"G93\nG1 X1 F1".to_vec()),
        ("no-motion", b"G21\nM104 S200\nG4 S5".to_vec()),
        ("binary", b"G1 X1\n\0\0\0".to_vec()),
        ("other-ends", b"%\r\nG92X0\r\nG1X5F60\r(open\rG1X9".to_vec()),
        (
            "huge-numbers",
            after("G91\nG1 X99999999 E99999999 F.0000001\nG1 X-99999999 F99999999\nG1 X999999999"),
        ),
    ]
}

fn moved(mut mesh: RawMesh, by: f64) -> RawMesh {
    mesh.vertices.iter_mut().flatten().for_each(|c| *c += by);
    mesh
}

fn joined(a: RawMesh, b: RawMesh) -> RawMesh {
    let first = u32::try_from(a.vertices.len()).expect("a few corners");
    let vertices = [a.vertices, b.vertices].concat();
    let after = b.triangles.into_iter().map(|t| t.map(|i| i + first));
    let triangles = a.triangles.into_iter().chain(after).collect();
    RawMesh {
        vertices,
        triangles,
    }
}

fn inside_out(mut mesh: RawMesh) -> RawMesh {
    mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    mesh
}

fn counted(mut bytes: Vec<u8>, count: u32) -> Vec<u8> {
    bytes[80..84].copy_from_slice(&count.to_le_bytes());
    bytes
}

fn stl() -> Vec<Seed> {
    let plain = write::stl_binary(&box_mesh([1.0, 2.0, 3.0]));
    let mut solid_header = plain.clone();
    solid_header[..12].copy_from_slice(b"solid header");
    let mut no_number = plain.clone();
    no_number[96..100].copy_from_slice(&f32::NAN.to_le_bytes());
    let text = format!("solid arm\n{FACET}endsolid arm\n");
    vec![
        ("binary", plain.clone()),
        ("binary-solid-header", solid_header),
        ("binary-trailing", [&plain[..], b"colours"].concat()),
        ("binary-count-zero", counted(plain.clone(), 0)),
        ("binary-count-large", counted(plain.clone(), u32::MAX)),
        ("binary-count-small", counted(plain.clone(), 5)),
        ("binary-cut", plain[..333].to_vec()),
        ("binary-nan", no_number),
        ("ascii", text.clone().into_bytes()),
        (
            "ascii-box",
            write::stl_ascii(&box_mesh([0.1, 1e-9, 1e6]), "box"),
        ),
        (
            "ascii-nameless",
            format!("solid\n{FACET}endsolid\n").into_bytes(),
        ),
        (
            "ascii-bom-blanks",
            format!("\u{feff} \n\t{text}").into_bytes(),
        ),
        ("ascii-crlf", text.replace('\n', "\r\n").into_bytes()),
        ("ascii-cr", text.replace('\n', "\r").into_bytes()),
        ("ascii-one-line", text.replace('\n', " ").into_bytes()),
        ("ascii-upper", text.to_uppercase().into_bytes()),
        (
            "ascii-several",
            format!("{text}{text}solid b\nendsolid b\n{text}").into_bytes(),
        ),
        ("ascii-no-end", format!("solid arm\n{FACET}").into_bytes()),
        (
            "ascii-comma",
            text.replace("vertex 1", "vertex 1,5").into_bytes(),
        ),
        (
            "ascii-nan",
            text.replace("vertex 1", "vertex -nan(ind)").into_bytes(),
        ),
        ("ascii-bare-facet", FACET.as_bytes().to_vec()),
        ("ascii-zero-end", format!("{text}\0\0\0").into_bytes()),
    ]
}

fn obj() -> Vec<Seed> {
    let square = "v 0 0 0\nv 2 0 0\nv 2 2 0\nv 0 2 0\n";
    let text = |face: &str| format!("{square}{face}").into_bytes();
    vec![
        ("box", write::obj(&box_mesh([1.0, 2.0, 3.0]), "box")),
        ("forms", text("vt 0 0\nvn 0 0 1\nf 1 2 3 4\nf 1/1 2/1 3/1\nf 1//1 2//1 3//1\nf 1/1/1 2/1/1 3/1/1")),
        ("negative", text("f -4 -3 -2 -1\n")),
        ("continued", text("f 1 2 \\\n 3 \\\r\n 4")),
        ("groups", text("g a b\no arm\nusemtl red\ns off\nf 1 2 3\ng c\nf 1 3 4")),
        ("weights", b"v 1 2 3 1\nv 1 2 4 .5 .5 .5\nv +1.0e0 2. -3 # x\nf 1 2 3\n".to_vec()),
        ("concave", b"v 2 1 0\nv 1 1 0\nv 1 2 0\nv 0 2 0\nv 0 0 0\nv 2 0 0\nf 1 2 3 4 5 6\n".to_vec()),
        ("star", b"v 0 3 0\nv -2 -3 0\nv 3 1 0\nv -3 1 0\nv 2 -3 0\nf 1 2 3 4 5\n".to_vec()),
        ("slit", b"v 0 0 0\nv 6 0 0\nv 6 6 0\nv 0 6 0\nv 2 2 0\nv 2 4 0\nv 4 4 0\nv 4 2 0\nf 1 2 3 4 1 5 6 7 8 5\n".to_vec()),
        ("huge-index", text("f 1 2 4294967297\n")),
        ("least-index", text("f 1 2 -9223372036854775808\n")),
        ("edge-only", text("f 1 2\nl 1 2\np 1\n")),
        ("free-form", text("vp 0 1\ncstype bezier\ndeg 3\nsurf 0 1 0 1 1 2 3 4\nparm u 0 1\nend\n")),
        ("cr", String::from_utf8_lossy(&text("f 1 2 3 4\n")).replace('\n', "\r").into_bytes()),
        ("wide", format!("\u{feff}{square}f 1 2 3\n").encode_utf16().flat_map(u16::to_le_bytes).collect()),
        ("far", b"v 1e7 1e-320 -1e7\nv 0 0 0\nv 1 1e300 0\nf 1 2 3\n".to_vec()),
    ]
}

fn model(attributes: &str, resources: &str, build: &str) -> String {
    format!(
        "<model xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\" {attributes}>\
         <resources>{resources}</resources><build>{build}</build></model>"
    )
}

fn object(id: u32, attributes: &str) -> String {
    format!("<object id=\"{id}\" {attributes}>{CORNER}</object>")
}

fn holder(id: u32, components: &str) -> String {
    format!("<object id=\"{id}\"><components>{components}</components></object>")
}

fn three_mf() -> Vec<Seed> {
    let item = "<item objectid=\"1\"/>";
    let one = object(1, "name=\"a &amp; b\"");
    let mirror = "transform=\"-1 0 0 0 1 0 0 0 1 5 6 7\"";
    let production = "xmlns:p=\"http://schemas.microsoft.com/3dmanufacturing/production/2015/06\" \
                      requiredextensions=\"p\"";
    let far = format!(
        "{}\n==== 3D/far.model\n{}",
        model(
            production,
            &holder(1, "<component objectid=\"5\" p:path=\"/3D/Far.model\"/>"),
            "<item objectid=\"1\"/><item objectid=\"5\" p:path=\"/3D/f%61r.model\"/>"
        ),
        model("unit=\"inch\"", &object(5, "type=\"surface\""), "")
    );
    let twice = "<component objectid=\"1\"/>".repeat(2);
    let bomb: String = (2..7)
        .map(|id| holder(id, &twice.replace('1', &(id - 1).to_string())))
        .collect();
    [
        ("plain", model("unit=\"millimeter\"", &one, item)),
        ("micron", model("unit=\"micron\"", &one, item)),
        ("mirror", model("", &(one.clone() + &holder(2, &format!("<component objectid=\"1\" {mirror}/>"))), &format!("<item objectid=\"2\" {mirror}/>"))),
        ("types", model("", &[object(1, "type=\"support\""), object(2, "type=\"solidsupport\""), object(3, "type=\"other\""), object(4, "type=\"model\"")].concat(), "<item objectid=\"1\"/><item objectid=\"4\"/>")),
        ("empty-build", model("", &one, "")),
        ("cycle", model("", &(holder(1, "<component objectid=\"2\"/>") + &holder(2, "<component objectid=\"1\"/>")), item)),
        ("bomb", model("", &(one.clone() + &bomb), "<item objectid=\"6\"/>")),
        ("far", far),
        ("needs", model("xmlns:b=\"urn:b\" requiredextensions=\"b\" recommendedextensions=\"b\"", &one, item)),
        ("doctype", format!("<!DOCTYPE m [<!ENTITY a \"b\">]>{}", model("", &one, item))),
        ("foreign", model("xmlns:x=\"urn:x\"", &format!("<x:y><object id=\"1\"/></x:y><!-- c --><?pi?>{one}"), item)),
        ("cut", model("", &one, item)[..300].to_owned()),
        ("rels", format!("==== _rels/.rels\n<r:Relationships xmlns:r=\"http://schemas.openxmlformats.org/package/2006/relationships\"><r:Relationship Target=\"odd/my%20own.model\" Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></r:Relationships>\n==== Odd/my own.model\n{}", model("", &one, item))),
    ]
    .map(|(name, text)| (name, text.into_bytes()))
    .into()
}

fn zip_of(method: CompressionMethod, entries: &[(&str, &[u8])]) -> Vec<u8> {
    let options = SimpleFileOptions::default().compression_method(method);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        zip.start_file(*name, options).expect("the names differ");
        zip.write_all(bytes)
            .expect("writing to memory does not fail");
    }
    zip.finish()
        .expect("writing to memory does not fail")
        .into_inner()
}

fn zips() -> Vec<Seed> {
    let text = format!("solid\n{FACET}endsolid\n");
    let flat = write::obj(
        &RawMesh {
            vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]],
            triangles: vec![[0, 1, 2]],
        },
        "x",
    );
    let inch = package(model("unit=\"inch\"", &object(1, ""), "<item objectid=\"1\"/>").as_bytes());
    let inch = inch.expect("a sound package");
    let (stored, deflated) = (CompressionMethod::Stored, CompressionMethod::Deflated);
    let set: &[(&str, &[u8])] = &[
        ("left/arm.stl", text.as_bytes()),
        ("right\\arm.obj", &flat),
        ("g.3mf", &inch),
        ("notes.txt", b"two of each"),
        ("__MACOSX/left/._arm.stl", b"junk"),
        ("base.step", b"ISO-10303-21;"),
    ];
    let mut unnamed = zip_of(stored, &[("arm-x.obj", &flat)]);
    let at: Vec<usize> = (0..unnamed.len() - 5)
        .filter(|&i| &unnamed[i..i + 5] == b"arm-x")
        .collect();
    at.into_iter().for_each(|i| unnamed[i + 3] = 0x82);
    vec![
        ("stored", zip_of(stored, set)),
        ("deflated", zip_of(deflated, set)),
        ("package", inch.clone()),
        ("empty", zip_of(stored, &[])),
        (
            "nested",
            zip_of(stored, &[("in.zip", &zip_of(stored, &[("a.obj", &flat)]))]),
        ),
        ("outside", zip_of(stored, &[("../a.obj", &flat)])),
        ("zeros", zip_of(deflated, &[("a.stl", &[b' '; 300_000])])),
        ("unnamed", unnamed),
        ("one", zip_of(deflated, &[("a.obj", &flat)])),
    ]
}

fn any() -> Vec<Seed> {
    let text = format!("solid\n{FACET}endsolid\n");
    let named = |name: &str, bytes: &[u8]| [name.as_bytes(), b"\n", bytes].concat();
    let flat = b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n";
    vec![
        (
            "stl-binary",
            named("a.stl", &write::stl_binary(&box_mesh([1.0; 3]))),
        ),
        ("stl-ascii", named("a/b\\c.STL", text.as_bytes())),
        ("obj", named("x", flat)),
        ("wide", named("x.obj", &[0xff, 0xfe, b'v', 0, b' ', 0])),
        (
            "zip",
            named(
                "parts.zip",
                &zip_of(CompressionMethod::Stored, &[("a.obj", flat)]),
            ),
        ),
        (
            "3mf",
            named(
                "a.3mf",
                &package(model("", &object(1, ""), "<item objectid=\"1\"/>").as_bytes())
                    .expect("a sound package"),
            ),
        ),
        ("step", named("a.step", b"ISO-10303-21;\nHEADER;\n")),
        (
            "iges",
            named("a.igs", format!("{:72}S      1\n", "a bracket").as_bytes()),
        ),
        ("dxf", named("a.dxf", b"  0\nSECTION\n  2\nHEADER\n")),
        ("svg", named("a.svg", b"<?xml version=\"1.0\"?><svg/>")),
        (
            "amf",
            named("a.amf", b"<?xml version=\"1.0\"?><amf unit=\"inch\"/>"),
        ),
        ("ply", named("a.ply", b"ply\nformat ascii 1.0\n")),
        ("glb", named("a.glb", b"glTF\x02\0\0\0")),
        (
            "gltf",
            named("a.gltf", b"{\"asset\": {\"version\": \"2.0\"}}"),
        ),
        ("pdf", named("a.pdf", b"%PDF-1.7\n")),
        ("rar", named("a.rar", b"Rar!\x1a\x07")),
        ("empty", named("a.stl", b"")),
    ]
}

fn meshes() -> Vec<Seed> {
    let cube = || box_mesh([1.0; 3]);
    let big = || moved(box_mesh([9.0; 3]), -4.0);
    let mut open = cube();
    open.triangles.pop();
    let mut flipped = cube();
    flipped.triangles[3].swap(0, 1);
    let mut doubled = cube();
    doubled.triangles.push([0, 2, 3]);
    doubled.triangles.push([0, 0, 3]);
    [
        ("cube", cube()),
        ("open", open),
        ("flipped", flipped),
        ("doubled", doubled),
        ("inside-out", inside_out(cube())),
        ("hollow", joined(big(), inside_out(cube()))),
        ("embedded", joined(big(), cube())),
        ("overlapping", joined(cube(), moved(cube(), 0.5))),
        ("touching", joined(cube(), moved(cube(), 1.0))),
        ("tiny", box_mesh([1e-6, 1e-5, 1e-4])),
        ("far", moved(cube(), 9.9e6)),
    ]
    .map(|(name, mesh)| (name, write::obj(&mesh, name)))
    .into()
}
