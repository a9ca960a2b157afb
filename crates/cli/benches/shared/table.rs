//! A table of an engine: runs by the command, kept one by one, told row by row.
//!
//! Results are kept in a folder that is named for the engine they were found by, so those of
//! another are never taken for this one's; they are told and left out.

use std::collections::BTreeMap;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, ExitStatus, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use heartside_check::check;
use heartside_testkit::instances_folder;
use heartside_timber::document::Document;
use heartside_timber::finding::is_sound;
use heartside_timber::prepare::prepare;
use serde_json::{Value, json};

use crate::shared::given;

/// Searches that share the work of every run.
const WORKERS: &str = "2";

/// The engine that is measured: a hash over its sources.
const ENGINE: &str = env!("HEARTSIDE_ENGINE");

/// The same with what only published instances use.
const TRIALS: &str = env!("HEARTSIDE_TRIALS");

/// What a row of the table rests on.
#[derive(Clone, Copy)]
pub(crate) enum RestsOn {
    /// The search that makers have.
    Engine,
    /// That and what only published instances use.
    Trials,
}

/// Whether the runs were broken off from outside.
static BROKEN_OFF: AtomicBool = AtomicBool::new(false);

/// How often a run is looked at: often beside the patience of who breaks it off.
const GLANCE: Duration = Duration::from_millis(100);

/// Where results are kept, and how much of each row's time is run.
pub(crate) struct Table {
    /// Folder of the published instances.
    pub(crate) instances: PathBuf,
    /// For rows that rest on the engine, and on the trials.
    kept: [PathBuf; 2],
    share: u64,
    only_told: bool,
    /// Only rows whose name holds this are run and told; all where it is empty.
    rows: String,
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
    /// Seconds by which it is told what had been found.
    pub(crate) marks: &'static [u64],
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
    /// Reads `--kept FOLDER`, `--share N`, `--rows WORD` and `--only-told`, and prints the head of the table.
    pub(crate) fn begin(name: &str) -> Table {
        let share = given("--share", 100);
        let of_this_share = std::env::args()
            .skip_while(|a| a != "--kept")
            .nth(1)
            .map_or_else(|| PathBuf::from("target/tables"), PathBuf::from)
            .join(format!("{name}-{share}"));
        let kept = [
            of_this_share.join(format!("engine-{ENGINE}")),
            of_this_share.join(format!("trials-{TRIALS}")),
        ];
        for folder in &kept {
            fs::create_dir_all(folder).expect("the folder of results can be made");
        }
        ctrlc::set_handler(|| BROKEN_OFF.store(true, Ordering::Relaxed))
            .expect("no other handler is set");
        println!(
            "{}, {WORKERS} workers, {share} % of each time, engine {ENGINE}, with trials {TRIALS}.\n",
            machine()
        );
        tell_left_out(&of_this_share, &kept);
        println!("| what | seconds each | result |\n|---|---:|---|");
        Table {
            instances: instances_folder(),
            kept,
            share,
            only_told: std::env::args().any(|a| a == "--only-told"),
            rows: given("--rows", String::new()),
        }
    }

    /// Whether this row is wanted.
    fn wants(&self, row: &str) -> bool {
        row.contains(&self.rows)
    }

    /// Whether further runs are wanted: not where results are only told, nor after a break.
    fn goes_on(&self) -> bool {
        !self.only_told && !BROKEN_OFF.load(Ordering::Relaxed)
    }

    /// Says whether the table was broken off; what is not there yet is then left out of it.
    pub(crate) fn end(&self) -> ExitCode {
        if BROKEN_OFF.load(Ordering::Relaxed) {
            println!("\nBroken off: these are the runs that are there so far.");
            ExitCode::FAILURE
        } else {
            ExitCode::SUCCESS
        }
    }

    /// Runs the command to its end; `None` where it is broken off.
    fn run_to_the_end(&self, command: &mut Command) -> Option<ExitStatus> {
        let mut child = command
            .stdout(Stdio::null())
            .spawn()
            .expect("the command starts");
        loop {
            if let Some(ended) = child.try_wait().expect("the command can be waited for") {
                // A signal for both may be heard there first.
                if ended.code().is_none() {
                    BROKEN_OFF.store(true, Ordering::Relaxed);
                }
                return ended.code().map(|_| ended);
            }
            if !self.goes_on() {
                // One that has just ended by itself is no matter.
                let _ = child.kill();
                let _ = child.wait();
                return None;
            }
            thread::sleep(GLANCE);
        }
    }

    /// So many seconds, or the share of them that is run.
    pub(crate) fn seconds(&self, full: u64) -> f64 {
        full as f64 * self.share as f64 / 100.0
    }

    /// Prints a row of results, and how many of the runs that are wanted it rests on where some are missing.
    pub(crate) fn row(
        &self,
        name: &str,
        effort: &str,
        results: &[Value],
        wanted: usize,
        tell: impl FnOnce(&[Value]) -> String,
    ) {
        if !self.wants(name) {
            return;
        }
        let told = match results.len() {
            0 => "nothing run yet, or the instances are missing".to_owned(),
            all if all >= wanted => tell(results),
            some => format!("so far {some} of {wanted} runs: {}", tell(results)),
        };
        println!("| {name} | {effort} | {told} |");
    }

    /// Prints the row of some instances.
    pub(crate) fn row_of(
        &self,
        trials: &Trials,
        results: &[Value],
        tell: impl FnOnce(&[Value]) -> String,
    ) {
        let seconds = self.seconds(trials.seconds);
        let wanted = self.wanted(trials);
        self.row(trials.name, &format!("{seconds}"), results, wanted, tell);
    }

    /// How many runs some instances ask for.
    pub(crate) fn wanted(&self, trials: &Trials) -> usize {
        self.files(trials).len() * trials.seeds.len()
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

    /// Runs what is not there yet, one seed after the other, and gives every result that is there.
    pub(crate) fn trials(&self, trials: &Trials) -> Vec<Value> {
        let files = self.files(trials);
        for seed in trials.seeds {
            if self.wants(trials.name) && !files.is_empty() && self.goes_on() {
                self.run(trials, &files, *seed);
            }
        }
        self.results(trials)
    }

    fn kept(&self, rests_on: RestsOn) -> &Path {
        &self.kept[rests_on as usize]
    }

    /// Runs some instances with a seed, but for those that the file of results holds already.
    fn run(&self, trials: &Trials, files: &[PathBuf], seed: u32) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_heartside"));
        command
            .arg("trial")
            .args(files)
            .args(["--workers", WORKERS, "--seed", &seed.to_string()])
            .args(["--seconds", &self.seconds(trials.seconds).to_string()])
            .args(trials.arguments)
            .arg("--append")
            .arg(self.file_of(trials, seed));
        if !trials.marks.is_empty() {
            let marks: Vec<String> = trials
                .marks
                .iter()
                .map(|mark| self.seconds(*mark).to_string())
                .collect();
            command.args(["--marks", &marks.join(",")]);
        }
        if let Some(ended) = self.run_to_the_end(&mut command) {
            assert_ne!(
                ended.code(),
                Some(2),
                "the command could not run the instances"
            );
        }
    }

    /// The results of every instance and seed that are there.
    fn results(&self, trials: &Trials) -> Vec<Value> {
        let of_seed = |seed: &u32| {
            let mut results = lines(&self.file_of(trials, *seed));
            for result in &mut results {
                result["seed"] = json!(seed);
            }
            results
        };
        trials.seeds.iter().flat_map(of_seed).collect()
    }

    /// The file of results of some instances with a seed.
    fn file_of(&self, trials: &Trials, seed: u32) -> PathBuf {
        let several = if trials.seeds.len() > 1 {
            format!("-seed-{seed}")
        } else {
            String::new()
        };
        let name = file_name(trials.name);
        self.kept(RestsOn::Trials)
            .join(format!("{name}{several}.jsonl"))
    }

    /// Results as they stood by a mark; those that have none of it are left out.
    #[allow(
        dead_code,
        reason = "the straight engine's table has a run of its own for each row"
    )]
    pub(crate) fn by(&self, mark: u64, results: &[Value]) -> Vec<Value> {
        let at = self.seconds(mark);
        let stood = |result: &Value| {
            let marks = result["marks"].as_array()?;
            let stood = marks.iter().find(|m| m["at"].as_f64() == Some(at))?;
            let mut result = result.clone();
            for key in ["value", "steps", "seconds", "checked"] {
                result[key] = stood[key].clone();
            }
            Some(result)
        };
        results.iter().filter_map(stood).collect()
    }

    /// One result a seed, those of an earlier run taken as they are; a run that gives none was broken off.
    pub(crate) fn seeds(
        &self,
        name: &str,
        rests_on: RestsOn,
        seeds: u32,
        mut run: impl FnMut(u32) -> Option<Value>,
    ) -> Vec<Value> {
        let path = self
            .kept(rests_on)
            .join(format!("{}.jsonl", file_name(name)));
        let mut known: BTreeMap<u64, Value> = lines(&path)
            .into_iter()
            .filter_map(|line| Some((line.get("seed")?.as_u64()?, line)))
            .collect();
        for seed in 0..seeds {
            if known.contains_key(&u64::from(seed)) {
                continue;
            }
            if !self.wants(name) || !self.goes_on() {
                break;
            }
            let Some(mut line) = run(seed) else {
                break;
            };
            line["seed"] = json!(seed);
            let mut file = OpenOptions::new()
                .create(true)
                .append(true)
                .open(&path)
                .expect("the file of results can be written");
            // In one go, so that a break leaves no half of a line.
            file.write_all(format!("{line}\n").as_bytes())
                .expect("the file of results can be written");
            known.insert(u64::from(seed), line);
        }
        known.into_values().collect()
    }

    /// Sets a job out by the command, beginning with no plan: the job's file with the new plan in it, or none where that is broken off.
    pub(crate) fn set_out(
        &self,
        mut document: Document,
        cuts: &str,
        seed: u32,
        effort: Effort,
    ) -> Option<Document> {
        document.plan = None;
        let folder = self.kept(RestsOn::Engine).join("job");
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
        let seed = seed.to_string();
        self.run_to_the_end(
            Command::new(env!("CARGO_BIN_EXE_heartside"))
                .arg("set-out")
                .arg(&file)
                .arg("-o")
                .arg(&folder)
                .args(["--cuts", cuts, "--workers", WORKERS, "--seed", &seed])
                .args(effort),
        )?;
        let planned = fs::read_to_string(planned).expect("a plan is there");
        let opened = Document::open(&planned).expect("the plan's file opens");
        Some(opened.document)
    }

    /// Sets out boards that were cut apart, and says how much of the full answer is found again.
    pub(crate) fn again(
        &self,
        document: Document,
        cuts: &str,
        seed: u32,
        seconds: f64,
    ) -> Option<Value> {
        let planned = self.set_out(document, cuts, seed, Effort::Seconds(seconds))?;
        let job = prepare(&planned).job;
        let plan = planned.plan.expect("a plan is there");
        let area = |p: &heartside_timber::job::Part| p.outline.area();
        let all: f64 = job.parts.iter().map(|p| f64::from(p.count) * area(p)).sum();
        let laid = plan.layouts.iter().flat_map(|l| &l.placements);
        let placed: f64 = laid.filter_map(|p| job.part(&p.part)).map(area).sum();
        Some(json!({ "share": 100.0 * placed / all, "checked": is_sound(&check(&job, &plan)) }))
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

/// Says which results of other engines lie beside this one's, and that they are left out.
fn tell_left_out(of_this_share: &Path, kept: &[PathBuf]) {
    let beside = |folder: &Path| -> Vec<PathBuf> {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
        paths.sort();
        paths
    };
    let results_in = |folder: &Path| -> usize {
        let files = beside(folder);
        let of_results = files
            .iter()
            .filter(|file| file.extension().is_some_and(|e| e == "jsonl"));
        of_results.map(|file| lines(file).len()).sum()
    };
    let others = beside(of_this_share)
        .into_iter()
        .filter(|path| path.is_dir() && !kept.contains(path))
        .map(|path| (results_in(&path), path));
    // From before results were kept by engine.
    let unknown = (results_in(of_this_share), of_this_share.to_owned());
    for (count, folder) in others.chain([unknown]).filter(|(count, _)| *count > 0) {
        println!(
            "Left out, since another engine found them: {count} results in {}\n",
            folder.display()
        );
    }
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
