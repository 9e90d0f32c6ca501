//! The program while it runs, and the surroundings that it runs in.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use super::cli::{Bench, Ran};
use super::outcome::Outcome;

/// Longer than the program needs to hear of a signal, and than what it takes for one request that was sent twice.
pub const HEARD: Duration = Duration::from_millis(700);

/// Says the one word that a skipped test has.
pub fn skipped(why: &str) -> Outcome {
    Ok(writeln!(io::stderr(), "skipped: {why}")?)
}

/// Whether a program can be run here with these words.
pub fn can(words: &[&str]) -> bool {
    let [program, words @ ..] = words else {
        return false;
    };
    let ran = Command::new(program)
        .args(words)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    ran.is_ok_and(|status| status.success())
}

/// Sends a signal, such as `INT`, to a process, and waits until it has surely been heard.
pub fn signal(pid: u32, name: &str) -> Outcome {
    let command = format!("kill -{name} {pid}");
    let status = Command::new("sh").args(["-c", &command]).status()?;
    assert!(status.success(), "{command}");
    thread::sleep(HEARD);
    Ok(())
}

/// Waits until a program reads the pipe; it then waits for what is written.
pub fn is_read(pipe: PathBuf) -> Outcome<File> {
    let (send, opened) = mpsc::channel();
    // Left behind where nobody ever reads.
    thread::spawn(move || send.send(File::options().write(true).open(pipe)));
    Ok(opened.recv_timeout(Duration::from_mins(1))??)
}

/// Waits for the end of a program.
pub fn ended(child: Child) -> Outcome<Ran> {
    Ran::of(child.wait_with_output()?)
}

impl Bench {
    /// Makes a named pipe in the folder: whoever opens it to read waits for whoever opens it to write, and the other way round.
    pub fn pipe(&self, name: &str) -> Outcome<PathBuf> {
        let path = self.path(name);
        let made = Command::new("mkfifo").arg(&path).status()?;
        assert!(made.success());
        Ok(path)
    }

    /// Runs a script of the shell, with the program as `$1`, in a namespace of mounts of its own, where it may mount; `None`, with
    /// a word, where the machine does not allow that.
    pub fn with_mounts(&self, script: &str) -> Outcome<Option<Ran>> {
        let probe = self.path("probe");
        fs::create_dir_all(&probe)?;
        let probe = format!("mount -t tmpfs tmpfs '{}'", probe.display());
        if !can(&["unshare", "-r", "-m", "sh", "-c", &probe]) {
            skipped("this machine lets nobody mount in a namespace")?;
            return Ok(None);
        }
        let outer = ["unshare", "-r", "-m", "sh", "-ec", script, "sh"];
        Ran::of(self.program_under(&outer).output()?).map(Some)
    }
}

/// The names in a folder and those inside it that are parts of files.
pub fn parts(folder: &Path) -> Outcome<Vec<PathBuf>> {
    Ok(all_files(folder)?
        .into_iter()
        .filter(|path| path.extension().is_some_and(|e| e == "part"))
        .collect())
}

/// The files in a folder and those inside it.
pub fn all_files(folder: &Path) -> Outcome<Vec<PathBuf>> {
    let mut files = Vec::new();
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(files),
        entries => entries?,
    };
    for entry in entries {
        let path = entry?.path();
        if path.is_dir() {
            files.extend(all_files(&path)?);
        } else {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Checks that each file of a review's folder is whole, by how its format ends.
#[track_caller]
pub fn are_whole(files: &[PathBuf]) -> Outcome {
    for path in files {
        let bytes = fs::read(path)?;
        let ends = |end: &str| bytes.trim_ascii_end().ends_with(end.as_bytes());
        let whole = match path.extension().and_then(|e| e.to_str()) {
            Some("svg") => ends("</svg>"),
            Some("html") => ends("</html>"),
            // The last chunk (PNG, third edition, 11.2.5) and its sum.
            Some("png") => bytes.ends_with(b"IEND\xae\x42\x60\x82"),
            Some("json") => serde_json::from_slice::<serde_json::Value>(&bytes).is_ok(),
            _ => bytes.ends_with(b"\n"),
        };
        assert!(whole, "{}", path.display());
    }
    Ok(())
}
