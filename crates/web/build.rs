//! Puts the client's files and the look's style sheets into the binary, compressed beforehand.
//!
//! `client/dist` is made by `npm run build` (see `cargo xtask demo`). Without it the crate builds
//! all the same; its pages then go without script and web fonts.

use std::error::Error;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

use flate2::{Compression, write::GzEncoder};

/// What stands in `client/dist` beside the files that are served.
const MANIFEST: &str = "manifest.json";

/// One file to embed.
struct Found {
    name: String,
    path: PathBuf,
    /// Its name changes with its content, so that it needs no version in its address.
    hashed: bool,
}

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let out = PathBuf::from(env::var("OUT_DIR")?).join("assets");
    let (own, dist) = (root.join("assets"), root.join("client/dist"));
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed={}", own.display());
    // While it is absent this makes cargo look again at each build; that is wanted.
    println!("cargo::rerun-if-changed={}", dist.display());
    let mut files = found(&own, false)?;
    if dist.join(MANIFEST).is_file() {
        files.extend(found(&dist, true)?);
    } else {
        println!(
            "cargo::warning=client/dist is not built: pages go without script and web fonts (cargo xtask demo builds it)"
        );
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    fs::create_dir_all(&out)?;
    let mut code = String::from("static FILES: &[File] = &[\n");
    for file in &files {
        embed(file, &out, &mut code)?;
    }
    code.push_str("];\n");
    for (constant, doc, source) in [
        ("MAIN_JS", "The script of every page", "src/main.ts"),
        (
            "FONTS_CSS",
            "The style sheet of the web fonts",
            "src/fonts.css",
        ),
    ] {
        let address = entry(&dist.join(MANIFEST), source)?;
        writeln!(
            code,
            "/// {doc}, if the client is built in.\npub(crate) const {constant}: Option<&str> = {address:?};"
        )?;
    }
    fs::write(out.join("files.rs"), code)?;
    Ok(())
}

/// The files of a folder that are served; dot files and the manifest are not.
fn found(dir: &Path, hashed: bool) -> Result<Vec<Found>, Box<dyn Error>> {
    let mut files = Vec::new();
    for file in fs::read_dir(dir)? {
        let path = file?.path();
        let name = path.file_name().and_then(|name| name.to_str());
        let Some(name) = name.filter(|name| *name != MANIFEST && !name.starts_with('.')) else {
            continue;
        };
        files.push(Found {
            name: name.to_owned(),
            path: path.clone(),
            hashed,
        });
    }
    Ok(files)
}

/// Copies a file beside the generated code, so that a client built meanwhile can't pull it away,
/// and writes its line of the table.
fn embed(file: &Found, out: &Path, code: &mut String) -> Result<(), Box<dyn Error>> {
    let bytes = fs::read(&file.path)?;
    let kind = kind(&file.name).ok_or_else(|| format!("{}: no content type", file.name))?;
    let version = fingerprint(&bytes);
    let address = if file.hashed {
        format!("/assets/{}", file.name)
    } else {
        format!("/assets/{}?v={version}", file.name)
    };
    fs::write(out.join(&file.name), &bytes)?;
    let mut gz = "None".to_owned();
    // woff2 is compressed already; what shrinks by less than a tenth is not worth unpacking.
    let small = gzipped(&bytes)?;
    if small.len() * 10 < bytes.len() * 9 {
        let name = format!("{}.gz", file.name);
        fs::write(out.join(&name), small)?;
        gz = format!("Some({})", included(&name));
    }
    writeln!(
        code,
        "    File {{ name: {:?}, address: {address:?}, kind: {kind:?}, etag: {:?}, bytes: {}, gz: {gz} }},",
        file.name,
        format!("\"{version}\""),
        included(&file.name),
    )?;
    Ok(())
}

fn included(name: &str) -> String {
    let path = format!("/assets/{name}");
    format!("include_bytes!(concat!(env!(\"OUT_DIR\"), {path:?}))")
}

fn kind(name: &str) -> Option<&'static str> {
    Some(match name.rsplit('.').next()? {
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        "txt" => "text/plain; charset=utf-8",
        _ => return None,
    })
}

/// The address that the manifest gives for a source file of the client.
fn entry(manifest: &Path, source: &str) -> Result<Option<String>, Box<dyn Error>> {
    let Ok(text) = fs::read_to_string(manifest) else {
        return Ok(None);
    };
    let manifest: serde_json::Value = serde_json::from_str(&text)?;
    let file = manifest[source]["file"]
        .as_str()
        .ok_or_else(|| format!("{MANIFEST} does not name {source}"))?;
    Ok(Some(format!("/assets/{file}")))
}

fn gzipped(bytes: &[u8]) -> Result<Vec<u8>, std::io::Error> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    encoder.finish()
}

/// Tells one content from another in caches; nothing relies on it being hard to forge.
///
/// Source: FNV-1a, 64 bits (Fowler, Noll, Vo), from memory.
fn fingerprint(bytes: &[u8]) -> String {
    let hash = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}").split_off(4)
}
