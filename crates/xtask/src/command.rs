//! Starting other programs: shown, timed out, and read where their words count.

use std::ffi::{OsStr, OsString};
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::fault::{Fault, Outcome};
use crate::project::Project;

/// A program to be started, with its arguments and surroundings.
pub(crate) struct Program {
    command: Command,
}

/// What a program printed on its way, and how it ended.
pub(crate) struct Transcript {
    /// Its standard output, or all that it printed.
    pub(crate) text: String,
    /// `Ok` if it reported success.
    pub(crate) end: Outcome<()>,
}

impl Program {
    /// A program found on the search path or at a path.
    pub(crate) fn new(name: impl AsRef<OsStr>) -> Self {
        Self {
            command: Command::new(name),
        }
    }

    /// The cargo that runs this program, started in the project.
    pub(crate) fn cargo(project: &Project) -> Self {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo"));
        Self::new(cargo).folder(&project.root)
    }

    /// Node.js.
    pub(crate) fn node() -> Self {
        Self::new("node")
    }

    pub(crate) fn argument(mut self, argument: impl AsRef<OsStr>) -> Self {
        self.command.arg(argument);
        self
    }

    pub(crate) fn arguments<I, S>(mut self, arguments: I) -> Self
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        self.command.args(arguments);
        self
    }

    pub(crate) fn folder(mut self, folder: impl AsRef<Path>) -> Self {
        self.command.current_dir(folder);
        self
    }

    pub(crate) fn variable(mut self, name: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(name, value);
        self
    }

    pub(crate) fn without_variable(mut self, name: &str) -> Self {
        self.command.env_remove(name);
        self
    }

    /// Runs it, showing its output; an unsuccessful end is a fault.
    pub(crate) fn run(mut self) -> Outcome<()> {
        let status = self
            .command
            .status()
            .map_err(|error| self.not_started(&error))?;
        self.judge(status)
    }

    /// Runs it silently and returns what it printed on standard output; on failure the fault
    /// carries what it printed on standard error.
    pub(crate) fn read(mut self) -> Outcome<String> {
        let output = self
            .command
            .stdin(Stdio::null())
            .output()
            .map_err(|error| self.not_started(&error))?;
        if output.status.success() {
            Ok(String::from_utf8_lossy(&output.stdout).into_owned())
        } else {
            let said = String::from_utf8_lossy(&output.stderr);
            Err(Fault::new(format!("`{self}` failed: {}", said.trim())))
        }
    }

    /// Runs it, showing its output line by line while keeping a copy of standard output.
    pub(crate) fn run_and_keep(mut self) -> Outcome<Transcript> {
        let mut child = self
            .command
            .stdout(Stdio::piped())
            .spawn()
            .map_err(|error| self.not_started(&error))?;
        let mut text = String::new();
        if let Some(output) = child.stdout.take() {
            let mut output = BufReader::new(output);
            let mut line = Vec::new();
            // A broken pipe ends the copy; the exit status then tells the rest.
            while output
                .read_until(b'\n', &mut line)
                .is_ok_and(|count| count > 0)
            {
                let shown = String::from_utf8_lossy(&line);
                print!("{shown}");
                text.push_str(&shown);
                line.clear();
            }
        }
        let status = child.wait().map_err(|error| self.not_started(&error))?;
        let end = self.judge(status);
        Ok(Transcript { text, end })
    }

    /// Runs it, keeping its standard output and showing only what it says of errors and progress.
    pub(crate) fn keep(mut self) -> Outcome<String> {
        let output = self
            .command
            .stdin(Stdio::null())
            .stderr(Stdio::inherit())
            .output()
            .map_err(|error| self.not_started(&error))?;
        self.judge(output.status)?;
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    }

    /// Runs it silently and returns all that it printed, what it said of errors last.
    pub(crate) fn keep_all(mut self) -> Outcome<Transcript> {
        let output = self
            .command
            .stdin(Stdio::null())
            .output()
            .map_err(|error| self.not_started(&error))?;
        let mut text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.push_str(&String::from_utf8_lossy(&output.stderr));
        let end = self.judge(output.status);
        Ok(Transcript { text, end })
    }

    /// Runs it silently and stops it after `limit`.
    ///
    /// Used where a network that swallows requests would otherwise hold everything up.
    pub(crate) fn run_within(mut self, limit: Duration) -> Outcome<()> {
        let mut child = self
            .command
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(|error| self.not_started(&error))?;
        match wait_until(&mut child, Instant::now() + limit) {
            Some(status) if status.success() => Ok(()),
            Some(_) => {
                let mut said = String::new();
                if let Some(mut errors) = child.stderr.take() {
                    let _ = errors.read_to_string(&mut said);
                }
                Err(Fault::new(format!("`{self}` failed: {}", said.trim())))
            }
            None => {
                let _ = child.kill();
                let _ = child.wait();
                Err(Fault::new(format!(
                    "`{self}` gave no answer within {} s",
                    limit.as_secs()
                )))
            }
        }
    }

    fn judge(&self, status: ExitStatus) -> Outcome<()> {
        if status.success() {
            Ok(())
        } else {
            Err(Fault::new(format!("`{self}` failed ({status})")))
        }
    }

    fn not_started(&self, error: &std::io::Error) -> Fault {
        let name = self.command.get_program().to_string_lossy();
        Fault::new(format!("cannot start {name}: {error}"))
            .mended_by(format!("install {name}, or put it on the search path"))
    }
}

/// The command line as one would type it, with only the file name of the program.
impl std::fmt::Display for Program {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let program = Path::new(self.command.get_program());
        write!(
            out,
            "{}",
            program
                .file_name()
                .unwrap_or(program.as_os_str())
                .to_string_lossy()
        )?;
        for argument in self.command.get_args() {
            write!(out, " {}", argument.to_string_lossy())?;
        }
        Ok(())
    }
}

fn wait_until(child: &mut Child, deadline: Instant) -> Option<ExitStatus> {
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return Some(status),
            Ok(None) if Instant::now() < deadline => thread::sleep(Duration::from_millis(50)),
            Ok(None) | Err(_) => return None,
        }
    }
}

/// Path of a program on the search path.
pub(crate) fn find_program(name: &str) -> Option<PathBuf> {
    std::env::split_paths(&std::env::var_os("PATH")?)
        .map(|folder| folder.join(name))
        .find(|path| path.is_file())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_program_is_named_with_a_mend() {
        let fault = Program::new("heartside-no-such-program")
            .run()
            .unwrap_err()
            .to_string();
        assert!(
            fault.contains("cannot start heartside-no-such-program"),
            "{fault}"
        );
        assert!(fault.contains("mend: install"), "{fault}");
    }

    #[test]
    #[cfg(unix)]
    fn output_is_kept_and_the_end_is_told() {
        let kept = Program::new("sh")
            .arguments(["-c", "echo one; echo two; exit 3"])
            .run_and_keep()
            .unwrap();
        assert_eq!(kept.text, "one\ntwo\n");
        let fault = kept.end.unwrap_err().to_string();
        assert!(fault.contains("exit status: 3"), "{fault}");
    }

    #[test]
    #[cfg(unix)]
    fn a_program_that_hangs_is_stopped() {
        let fault = Program::new("sleep")
            .argument("60")
            .run_within(Duration::from_millis(100))
            .unwrap_err()
            .to_string();
        assert!(fault.contains("gave no answer"), "{fault}");
    }
}
