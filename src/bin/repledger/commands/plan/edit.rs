//! `repledger plan --new` and `--edit`: a plan to start from, and an editor until it is right.

use std::env;
use std::fs::{self, OpenOptions};
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::Path;

use anyhow::{Context, bail};
use repledger::plan::{self, Reading};

use crate::args::Input;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::plans::{rendered, text};
use crate::printer::Printer;

/// A plan with a comment for all that it can say.
const NEW: &str = include_str!("new.plan");

/// Writes a plan to start from, never over a file that is there.
pub fn begin(file: Option<&Input>, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    match file {
        None | Some(Input::Stdin) => printer.data(NEW)?,
        Some(Input::File(path)) => {
            create(path)?;
            printer.talk(format!(
                "wrote '{0}'; change it with repledger plan --edit '{0}'",
                path.display()
            ));
        }
    }
    Ok(ExitStatus::Done)
}

fn create(path: &Path) -> anyhow::Result<()> {
    let mut file = match OpenOptions::new().write(true).create_new(true).open(path) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => bail!(
            "'{0}' is there already; change it with repledger plan --edit '{0}', or name another file",
            path.display()
        ),
        file => file.with_context(|| format!("cannot write '{}'", path.display()))?,
    };
    file.write_all(NEW.as_bytes())
        .and_then(|()| file.sync_all())
        .with_context(|| format!("cannot write '{}'", path.display()))
}

/// Opens the editor, or, once it was there, checks what it left: the plan is right, or the editor is opened again.
pub fn until_right(
    file: &Input,
    edited: bool,
    reading: Reading,
    printer: &mut Printer,
) -> anyhow::Result<()> {
    let Input::File(path) = file else {
        bail!(WrongUsage(
            "--edit needs a file, not standard input".to_owned()
        ));
    };
    if !edited {
        if fs::metadata(path).is_err_and(|error| error.kind() == io::ErrorKind::NotFound) {
            create(path)?;
        }
        return open(path);
    }
    let written = text(file)?;
    let Err(mistakes) = plan::parse_with(&written, reading) else {
        return Ok(());
    };
    let shown = rendered(file, &written, &mistakes);
    if !io::stdin().is_terminal() {
        bail!(shown);
    }
    printer.error(&shown.into());
    printer.talk("Enter opens it again; q and Enter leaves it as it is");
    let mut answer = String::new();
    let read = io::stdin().lock().read_line(&mut answer)?;
    if read == 0 || answer.trim().eq_ignore_ascii_case("q") {
        bail!("'{}' is left as it is, with its mistakes", path.display());
    }
    open(path)
}

/// Becomes a shell that runs the editor of the environment, which may come with words of its own, such as `code --wait`, and then this
/// command again with `--edited`. The program itself starts no other: what that takes of the standard library is linked to
/// sockets, and nothing in it is to be.
fn open(path: &Path) -> anyhow::Result<()> {
    let named = ["VISUAL", "EDITOR"]
        .into_iter()
        .filter_map(|key| env::var(key).ok())
        .find(|value| !value.trim().is_empty());
    let Some(editor) = named else {
        bail!(
            "no editor is named; say which in EDITOR, as in EDITOR=nano repledger plan --edit '{}'",
            path.display()
        );
    };
    become_editor(&editor, path)
}

#[cfg(unix)]
fn become_editor(editor: &str, path: &Path) -> anyhow::Result<()> {
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    let program = env::current_exe().context("cannot find repledger itself")?;
    let typed: Vec<_> = env::args_os()
        .skip(1)
        .filter(|word| word != "--edited")
        .collect();
    let script = format!(
        "{editor} \"$1\" || {{ echo 'error: the editor did not end well; the plan is as it left it' >&2; exit 1; }}; \
         shift; exec \"$@\""
    );
    let failed = Command::new("sh")
        .args(["-c", &script, "sh"])
        .arg(path)
        .arg(program)
        .args(typed)
        .arg("--edited")
        .exec();
    Err(failed).with_context(|| format!("cannot run the editor '{editor}'"))
}

#[cfg(not(unix))]
fn become_editor(editor: &str, path: &Path) -> anyhow::Result<()> {
    bail!(
        "no editor is started on this system; open '{}' with {editor} yourself, and check it with repledger plan",
        path.display()
    );
}
