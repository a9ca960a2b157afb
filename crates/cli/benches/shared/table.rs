//! A table of an engine: runs by the command, kept one by one, told row by row.

use std::collections::BTreeMap;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use heartside_check::check;
use heartside_timber::document::Document;
use heartside_timber::finding::is_sound;
use heartside_timber::prepare::prepare;
use serde_json::{Value, json};

use crate::shared::given;

/// Searches that share the work of every run.
const WORKERS: &str = "2";

/// Where results are kept, and how much of each row's time is run.
pub(crate) struct Table {
    /// Folder of the published instances.
    pub(crate) instances: PathBuf,
    kept: PathBuf,
    share: u64,
}

/// Published instances that are run alike.
pub(crate) struct Trials {
    /// What the row is called.
    pub(crate) name: &'static str,
    /// Folder of the instances.
    pub(crate) folder: &'static str,
    /// Names of the files; with a star at the end all that begin so.
    pub(crate) files: &'static [&'static str],
    /// Further arguments of `heartside trial`.
    pub(crate) arguments: &'static [&'static str],
    /// Seconds for each instance.
    pub(crate) seconds: u64,
    /// Seeds that each instance is run with.
    pub(crate) seeds: &'static [u32],
}

/// How long a job is set out.
#[derive(Clone, Copy)]
pub(crate) enum Effort {
    /// By the clock.
    Seconds(f64),
    /// By steps of each worker.
    #[allow(
        dead_code,
        reason = "the straight engine's table counts no steps of the command"
    )]
    Steps(u64),
}

impl Table {
    /// Reads `--kept FOLDER` and `--share N`, and prints the head of the table.
    pub(crate) fn begin(name: &str) -> Table {
        let share = given("--share", 100);
        let instances = std::env::var_os("HEARTSIDE_INSTANCES").map_or_else(
            || Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/benchmarks"),
            PathBuf::from,
        );
        let kept = std::env::args()
            .skip_while(|a| a != "--kept")
            .nth(1)
            .map_or_else(|| PathBuf::from("target/tables"), PathBuf::from)
            .join(format!("{name}-{share}"));
        fs::create_dir_all(&kept).expect("the folder of results can be made");
        println!(
            "{}, {WORKERS} workers, {share} % of each time.\n",
            machine()
        );
        println!("| what | seconds each | result |\n|---|---:|---|");
        Table {
            instances,
            kept,
            share,
        }
    }

    /// So many seconds, or the share of them that is run.
    pub(crate) fn seconds(&self, full: u64) -> f64 {
        full as f64 * self.share as f64 / 100.0
    }

    /// Prints a row.
    pub(crate) fn row(&self, name: &str, effort: &str, told: &str) {
        println!("| {name} | {effort} | {told} |");
    }

    /// Prints the row of some instances.
    pub(crate) fn row_of(&self, trials: &Trials, told: &str) {
        let seconds = self.seconds(trials.seconds);
        self.row(trials.name, &format!("{seconds}"), told);
    }

    /// The files of some instances, in order.
    pub(crate) fn files(&self, trials: &Trials) -> Vec<PathBuf> {
        let mut files: Vec<PathBuf> = fs::read_dir(self.instances.join(trials.folder))
            .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
            .unwrap_or_default();
        files.retain(|file| {
            let name = file.file_stem().unwrap_or_default().to_string_lossy();
            trials
                .files
                .iter()
                .any(|wanted| match wanted.strip_suffix('*') {
                    Some(beginning) => name.starts_with(beginning),
                    None => name == *wanted,
                })
        });
        files.sort();
        files
    }

    /// The results of every instance and seed, those of an earlier run included.
    pub(crate) fn trials(&self, trials: &Trials) -> Vec<Value> {
        let files = self.files(trials);
        if files.is_empty() {
            return Vec::new();
        }
        let mut results = Vec::new();
        for seed in trials.seeds {
            let several = if trials.seeds.len() > 1 {
                format!("-seed-{seed}")
            } else {
                String::new()
            };
            let path = self
                .kept
                .join(format!("{}{several}.jsonl", file_name(trials.name)));
            let ended = Command::new(env!("CARGO_BIN_EXE_heartside"))
                .arg("trial")
                .args(&files)
                .args(["--workers", WORKERS, "--seed", &seed.to_string()])
                .args(["--seconds", &self.seconds(trials.seconds).to_string()])
                .args(trials.arguments)
                .arg("--append")
                .arg(&path)
                .stdout(Stdio::null())
                .status()
                .expect("the command starts");
            assert_ne!(
                ended.code(),
                Some(2),
                "the command could not run the instances"
            );
            for mut line in lines(&path) {
                line["seed"] = json!(seed);
                results.push(line);
            }
        }
        results
    }

    /// One result a seed, those of an earlier run taken as they are.
    pub(crate) fn seeds(
        &self,
        name: &str,
        seeds: u32,
        mut run: impl FnMut(u32) -> Value,
    ) -> Vec<Value> {
        let path = self.kept.join(format!("{}.jsonl", file_name(name)));
        let mut known: BTreeMap<u64, Value> = lines(&path)
            .into_iter()
            .filter_map(|line| Some((line.get("seed")?.as_u64()?, line)))
            .collect();
        for seed in 0..seeds {
            if known.contains_key(&u64::from(seed)) {
                continue;
            }
            let mut line = run(seed);
            line["seed"] = json!(seed);
            let mut file = OpenOptions::new()
                .create(true)
                .append(true)
                .open(&path)
                .expect("the file of results can be written");
            writeln!(file, "{line}").expect("the file of results can be written");
            known.insert(u64::from(seed), line);
        }
        known.into_values().collect()
    }

    /// Sets a job out by the command, beginning with no plan: the job's file with the new plan in it.
    pub(crate) fn set_out(
        &self,
        mut document: Document,
        cuts: &str,
        seed: u32,
        effort: Effort,
    ) -> Document {
        document.plan = None;
        let folder = self.kept.join("job");
        fs::create_dir_all(&folder).expect("the folder of results can be made");
        let planned = folder.join("plan.heartside.json");
        // An old plan must not speak for a run that made none.
        let _ = fs::remove_file(&planned);
        let file = folder.join("job.heartside.json");
        fs::write(&file, document.save()).expect("the folder of results can be written");
        let effort = match effort {
            Effort::Seconds(seconds) => ["--seconds".to_owned(), seconds.to_string()],
            Effort::Steps(steps) => ["--steps".to_owned(), steps.to_string()],
        };
        let ended = Command::new(env!("CARGO_BIN_EXE_heartside"))
            .arg("set-out")
            .arg(&file)
            .arg("-o")
            .arg(&folder)
            .args([
                "--cuts",
                cuts,
                "--workers",
                WORKERS,
                "--seed",
                &seed.to_string(),
            ])
            .args(effort)
            .stdout(Stdio::null())
            .status();
        assert!(ended.is_ok(), "the command starts");
        let planned = fs::read_to_string(planned).expect("a plan is there");
        Document::open(&planned)
            .expect("the plan's file opens")
            .document
    }

    /// Sets out boards that were cut apart, and says how much of the full answer is found again.
    pub(crate) fn again(&self, document: Document, cuts: &str, seed: u32, seconds: f64) -> Value {
        let planned = self.set_out(document, cuts, seed, Effort::Seconds(seconds));
        let job = prepare(&planned).job;
        let plan = planned.plan.expect("a plan is there");
        let area = |p: &heartside_timber::job::Part| p.outline.area();
        let all: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
        let laid = plan.layouts.iter().flat_map(|l| &l.placements);
        let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
        json!({ "share": 100.0 * placed / all, "checked": is_sound(&check(&job, &plan)) })
    }
}

/// The processor and its cores, as far as the system tells.
fn machine() -> String {
    let told = fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = told
        .lines()
        .find_map(|line| line.strip_prefix("model name")?.split_once(':'))
        .map_or("unknown processor", |(_, model)| model.trim());
    let cores = std::thread::available_parallelism().map_or(0, |n| n.get());
    format!("{model}, {cores} cores")
}

/// The whole lines of a file of results; one that a break cut short is left out.
fn lines(path: &Path) -> Vec<Value> {
    fs::read_to_string(path)
        .unwrap_or_default()
        .lines()
        .filter_map(|line| serde_json::from_str(line).ok())
        .collect()
}

fn file_name(name: &str) -> String {
    name.replace([' ', ',', ':'], "-")
}

/// The numbers that results hold under a key.
pub(crate) fn numbers(results: &[Value], key: &str) -> Vec<f64> {
    results.iter().filter_map(|r| r[key].as_f64()).collect()
}

/// The mean of some numbers; not a number for none.
pub(crate) fn mean(numbers: &[f64]) -> f64 {
    numbers.iter().sum::<f64>() / numbers.len() as f64
}

/// For how many results something holds.
pub(crate) fn count(results: &[Value], holds: impl Fn(&Value) -> bool) -> usize {
    results.iter().filter(|r| holds(r)).count()
}

/// What every row ends with: whether the checker found fault with anything.
pub(crate) fn checked(results: &[Value]) -> String {
    match count(results, |r| r["checked"] != json!(true)) {
        _ if results.is_empty() => "nothing run: the instances are missing".to_owned(),
        0 => "all checked".to_owned(),
        wrong => format!("{wrong} NOT SOUND"),
    }
}

/// A number of every result beside the instance's name.
pub(crate) fn named(results: &[Value], key: &str, digits: usize) -> String {
    let name = |r: &Value| r["name"].as_str().unwrap_or("?").to_owned();
    let told: Vec<String> = results
        .iter()
        .map(|r| match r[key].as_f64() {
            Some(number) => format!("{} {number:.digits$}", name(r)),
            None => format!("{} not complete", name(r)),
        })
        .collect();
    told.join(", ")
}

/// How much of boards cut apart was found again.
pub(crate) fn found_again(results: &[Value]) -> String {
    let shares = numbers(results, "share");
    format!(
        "full answer in {} of {}, mean {:.1} % of the area, least {:.1} %; {}",
        count(results, |r| r["share"]
            .as_f64()
            .is_some_and(|share| share > 99.999)),
        results.len(),
        mean(&shares),
        shares.iter().copied().fold(f64::INFINITY, f64::min),
        checked(results)
    )
}
