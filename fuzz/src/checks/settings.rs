//! Settings.

use repledger::settings::{self, Resolved};

use super::output;

/// A settings file; and the same text as `name=value` of a command line, one a line.
pub fn settings(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let typed: Vec<String> = text.lines().map(str::to_owned).collect();
    for resolved in [
        settings::resolve(Some(("own.toml", text)), &[]),
        settings::resolve(None, &typed),
    ] {
        match resolved {
            Ok(resolved) => holds(&resolved),
            Err(error) => output::message(&error),
        }
    }
}

/// What is printed and passed back gives the same settings.
fn holds(resolved: &Resolved) {
    for setting in &resolved.list {
        assert!(setting.value.number().is_none_or(f64::is_finite));
    }
    let printed = settings::render(resolved);
    let again = settings::resolve(Some(("printed.toml", &printed)), &[])
        .unwrap_or_else(|error| panic!("{error}\n{printed}"));
    assert_eq!(again.settings, resolved.settings, "{printed}");
}
