//! One file a command.

mod begin;
mod change;
mod check_plan;
mod demo;
mod demo_crew;
mod demo_spools;
mod doubts;
mod estimate;
mod judge;
mod layout;
mod plan;
mod pledge;
mod region_file;
mod retime;
mod serve;
mod tidy_people;
mod walk;

use std::io::ErrorKind;
use std::path::Path;

use partpledge_formats::{Limits, ReadError};
use partpledge_workshop::{Session, WorkshopError};

use crate::args::{Args, Command, USUAL_DATA};
use crate::{clock, output};

/// Runs the command asked for.
pub(crate) fn run(args: &Args) -> anyhow::Result<u8> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let code = match &args.command {
            Command::Judge { files, part } => judge::run(args, files, part).await?,
            Command::Estimate {
                files,
                class,
                printer,
                part,
            } => estimate::run(args, files, (class.as_deref(), printer.as_deref()), part).await?,
            Command::Retime {
                files,
                class,
                material,
                json,
            } => retime::run(args, files, [class.as_deref(), material.as_deref()], *json).await?,
            Command::Layout {
                files,
                bed,
                clearance,
                edge,
                to,
                part,
            } => {
                let gaps_mm = [*clearance, edge.unwrap_or(*clearance)];
                layout::run(args, files, bed, gaps_mm, to, part).await?
            }
            Command::Pledge {
                file,
                team,
                give,
                need_by,
                idempotency_key,
                part,
            } => {
                let ask = pledge::PledgeArgs {
                    file,
                    team: team.as_deref(),
                    give: *give,
                    need_by: need_by.as_deref(),
                    idempotency_key: idempotency_key.as_deref(),
                    part,
                };
                pledge::run(args, &ask).await?
            }
            Command::Plan { save, json } => plan::run(args, *save, *json).await?,
            Command::CheckPlan { file, json } => {
                check_plan::run(args, file.as_deref(), *json).await?
            }
            Command::RegionFile { sample, out, json } => {
                region_file::run(args, *sample, out.as_deref(), *json).await?
            }
            Command::Begin { file, json } => begin::run(args, file, *json).await?,
            Command::Change { file, save, json } => change::run(args, file, *save, *json).await?,
            Command::Serve(how) => serve::run(args, how).await?,
            Command::TidyPeople => tidy_people::run(args).await?,
            Command::Demo { port, no_serve } => demo::run(args, *port, *no_serve).await?,
        };
        Ok(code)
    })
}

/// The data directory as it is, or the demo region where there is none.
async fn look(args: &Args) -> Result<Session, WorkshopError> {
    let of_region = matches!(
        args.command,
        Command::Pledge { .. } | Command::Plan { .. } | Command::CheckPlan { .. }
    );
    if of_region && !Session::is_in(&args.data).await? {
        output::warn(&invented(
            args,
            "this answers for the invented Ambrel Valley",
        ));
    }
    let now = clock::now(args.at.as_deref())?;
    Session::look(&args.data, &partpledge_testbed::with_a_meeting(), now).await
}

/// The data directory, to write in it. Where there is none it becomes the demo's, and that is said.
async fn open(args: &Args) -> Result<Session, WorkshopError> {
    if !Session::is_in(&args.data).await? {
        output::warn(&invented(args, "it becomes the invented Ambrel Valley"));
    }
    open_demo(args).await
}

/// The data directory, which becomes the demo's where there is none.
async fn open_demo(args: &Args) -> Result<Session, WorkshopError> {
    let now = clock::now(args.at.as_deref())?;
    Session::open(&args.data, &partpledge_testbed::with_a_meeting(), now).await
}

/// What to type next, about the same region: `partpledge serve --data DIR`.
fn next(args: &Args, call: &str) -> String {
    match args.data.display().to_string() {
        data if data == USUAL_DATA => format!("partpledge {call}"),
        data => format!("partpledge {call} --data {}", typed(&data)),
    }
}

/// A path as it is typed: in quotes if it has a space in it.
fn typed(path: &str) -> String {
    if path.contains(char::is_whitespace) {
        format!("\"{path}\"")
    } else {
        path.to_owned()
    }
}

/// How one comes to a region of one's own.
fn own(args: &Args) -> String {
    format!(
        "Your own region: `partpledge region-file --sample --out region.toml`, change that file, then `{}`.",
        next(args, "begin region.toml")
    )
}

/// That there is no region of one's own.
fn invented(args: &Args, so: &str) -> String {
    let data = args.data.display();
    format!("There was no region in {data}: {so}. {}", own(args))
}

/// The bytes of a file, if it is one and not too large. The size is looked at before reading.
fn read_bytes(path: &Path) -> Result<Vec<u8>, WorkshopError> {
    let limit = Limits::command_line().max_bytes;
    let trouble = |error: std::io::Error| not_opened(path, &error);
    let about = std::fs::metadata(path).map_err(trouble)?;
    if about.is_dir() {
        return Err(folder(path));
    }
    if about.len() > limit {
        return Err(ReadError::TooManyBytes {
            bytes: about.len(),
            limit,
        }
        .into());
    }
    std::fs::read(path).map_err(trouble)
}

fn folder(path: &Path) -> WorkshopError {
    WorkshopError::NoFile {
        path: path.display().to_string(),
        why: "it is a folder".to_owned(),
        locked: false,
    }
}

/// What the system says of a file that it won't open.
fn not_opened(path: &Path, error: &std::io::Error) -> WorkshopError {
    WorkshopError::NoFile {
        path: path.display().to_string(),
        why: output::plainly(error),
        locked: error.kind() == ErrorKind::PermissionDenied,
    }
}

/// The last step of a path, for people and as a part's name.
fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use clap::Parser as _;

    use super::*;

    #[test]
    fn what_to_type_next_is_about_the_same_region() {
        let of = |data: &[&str]| {
            let line = ["partpledge"].iter().chain(data).chain(&["plan"]);
            next(&Args::parse_from(line), "serve")
        };
        assert_eq!(of(&[]), "partpledge serve");
        let reed = ["--data", "/srv/reed"];
        assert_eq!(of(&reed), "partpledge serve --data /srv/reed");
        let spaced = ["--data", "/srv/reed school"];
        assert_eq!(of(&spaced), "partpledge serve --data \"/srv/reed school\"");
    }

    #[test]
    fn a_file_that_may_not_be_read_is_told_from_one_that_is_not_there() {
        let told = |number: i32| {
            let error = std::io::Error::from_raw_os_error(number);
            let error = not_opened(Path::new("wheel.stl"), &error);
            (error.code(), error.to_string(), error.what_to_do())
        };
        // Numbers of POSIX: EACCES and ENOENT.
        let (code, says, to_do) = told(13);
        assert_eq!(code, "not-yours-to-read");
        assert_eq!(says, "wheel.stl can't be opened: permission denied");
        assert!(to_do.contains("let you read it"));
        let (code, says, to_do) = told(2);
        assert_eq!(code, "no-file");
        assert!(says.ends_with("no such file or directory") && to_do.contains("Check the name"));
    }
}
