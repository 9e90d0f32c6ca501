//! Runs the program in an empty folder of its own, with nothing of this machine's settings.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{self, Output, Stdio};

use assert_cmd::Command;
use tempfile::TempDir;

use super::outcome::Outcome;

/// A folder that the program is run in, and that goes when the test ends.
pub struct Bench {
    dir: TempDir,
}

/// What a run left behind.
#[derive(Debug, PartialEq, Eq)]
pub struct Ran {
    /// Exit status.
    pub status: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Bench {
    /// An empty folder.
    pub fn new() -> Outcome<Self> {
        Ok(Self {
            dir: tempfile::tempdir()?,
        })
    }

    /// A folder with one file.
    pub fn with(name: &str, content: impl AsRef<[u8]>) -> Outcome<Self> {
        let bench = Self::new()?;
        bench.file(name, content)?;
        Ok(bench)
    }

    /// Where a name in the folder is.
    pub fn path(&self, name: impl AsRef<Path>) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Puts a file into the folder.
    pub fn file(&self, name: &str, content: impl AsRef<[u8]>) -> Outcome {
        let path = self.path(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        Ok(fs::write(path, content)?)
    }

    /// The text of a file in the folder.
    pub fn text(&self, name: &str) -> Outcome<String> {
        Ok(fs::read_to_string(self.path(name))?)
    }

    /// The names in a folder, in order.
    pub fn names(&self, folder: &str) -> Outcome<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(self.path(folder))? {
            names.push(entry?.file_name().to_string_lossy().into_owned());
        }
        names.sort();
        Ok(names)
    }

    /// The program, to be run in the folder.
    pub fn command(&self) -> Outcome<Command> {
        let mut command = Command::cargo_bin("repledger")?;
        command
            .current_dir(self.dir.path())
            .env_clear()
            .env("TZ", "UTC")
            .env("HOME", self.path("home"))
            .env("XDG_CONFIG_HOME", self.path("config"));
        Ok(command)
    }

    /// The same for a test that looks at it while it runs.
    pub fn program(&self) -> process::Command {
        self.program_under(&[])
    }

    /// The same, run by another program with these words, such as `strace -f`.
    pub fn program_under(&self, outer: &[&str]) -> process::Command {
        let program = env!("CARGO_BIN_EXE_repledger");
        let words: Vec<_> = outer.iter().copied().chain([program]).collect();
        let mut command = process::Command::new(words[0]);
        command
            .args(&words[1..])
            .current_dir(self.dir.path())
            .env_clear()
            .env("PATH", std::env::var_os("PATH").unwrap_or_default())
            .env("TZ", "UTC")
            .env("HOME", self.path("home"))
            .env("XDG_CONFIG_HOME", self.path("config"))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Runs the program with the words of a line.
    pub fn run(&self, line: &str) -> Outcome<Ran> {
        self.run_with_input(line, Vec::new())
    }

    /// The same with words that may hold blanks.
    pub fn run_words(&self, words: &[&str]) -> Outcome<Ran> {
        Ran::of(self.command()?.args(words).output()?)
    }

    /// The same with something on standard input.
    pub fn run_with_input(&self, line: &str, input: impl Into<Vec<u8>>) -> Outcome<Ran> {
        let output = self
            .command()?
            .args(line.split_whitespace())
            .write_stdin(input)
            .output()?;
        Ran::of(output)
    }
}

impl Ran {
    /// What an ended program left.
    pub fn of(output: Output) -> Outcome<Self> {
        Ok(Self {
            status: output.status.code(),
            out: String::from_utf8(output.stdout)?,
            err: String::from_utf8(output.stderr)?,
        })
    }

    /// Checks that the work could not be done: nothing on standard output, one message with all these words.
    #[track_caller]
    pub fn could_not(&self, words: &[&str]) {
        assert_eq!(self.status, Some(1), "{self:?}");
        self.refused(words);
    }

    /// Checks that the command line was refused, with all these words.
    #[track_caller]
    pub fn wrong_usage(&self, words: &[&str]) {
        assert_eq!(self.status, Some(2), "{self:?}");
        self.refused(words);
    }

    /// Checks that the work was done, with all these words on standard output.
    #[track_caller]
    pub fn done(&self, words: &[&str]) {
        assert_eq!(self.status, Some(0), "{self:?}");
        for word in words {
            assert!(self.out.contains(word), "no {word:?} in\n{}", self.out);
        }
    }

    #[track_caller]
    fn refused(&self, words: &[&str]) {
        assert_eq!(self.out, "", "{self:?}");
        for word in words {
            assert!(self.err.contains(word), "no {word:?} in\n{}", self.err);
        }
        assert!(!self.err.contains("panicked"), "{}", self.err);
    }
}
