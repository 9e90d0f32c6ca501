//! Prints settings as a file that can be edited and passed back.

use std::fmt::Write as _;

use crate::settings::keys::SECTIONS;
use crate::settings::{Origin, Resolved, Setting, Value};

/// Longest line of a comment, in characters.
const WIDTH: usize = 100;

const HEAD: &str = "Settings in force. Edit this file and pass it back with --settings FILE; lines that are left out keep \
    their defaults. After each value stands where it came from. A change of `set` moves only those speed bands whose \
    lines are taken out.";

/// The settings in force as a TOML file, each with its meaning, range, source and origin.
///
/// Passed back through [`resolve`](super::resolve), it gives the same settings.
#[must_use]
pub fn render(resolved: &Resolved) -> String {
    let mut text = String::new();
    comment(&mut text, HEAD);
    for section in SECTIONS {
        text.push('\n');
        comment(&mut text, &format!("== {} ==", section.title));
        for key in section.keys {
            if let Some(setting) = resolved.get(key.name) {
                text.push('\n');
                entry(&mut text, setting);
            }
        }
    }
    text
}

fn entry(text: &mut String, setting: &Setting) {
    let key = setting.key;
    comment(text, key.about);
    comment(text, &format!("Allowed: {}.", key.expected()));
    comment(text, &format!("Source: {}.", key.source));
    let value = match &setting.value {
        Value::Number(number) => {
            let written = key.text(&setting.value);
            // A value without a unit stays a number.
            if written.parse::<f64>().is_ok() {
                format!("{number}")
            } else {
                quoted(&written)
            }
        }
        _ => quoted(&key.text(&setting.value)),
    };
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{} = {value}  # {}",
        key.name,
        origin(&setting.origin)
    );
}

/// A TOML string.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// Where a value came from, in words.
fn origin(origin: &Origin) -> String {
    match origin {
        Origin::Default => "default".to_owned(),
        Origin::Set(set) => format!("set {set}"),
        // A control character in a file's name must not end the comment.
        Origin::File(name) => format!("file {}", name.replace(char::is_control, "?")),
        Origin::CommandLine => "command line".to_owned(),
    }
}

/// Adds a comment, broken between words.
fn comment(text: &mut String, words: &str) {
    let mut used = 0;
    for word in words.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > WIDTH {
            text.push('\n');
            used = 0;
        }
        if used == 0 {
            text.push('#');
            used = 1;
        }
        text.push(' ');
        text.push_str(word);
        used += 1 + length;
    }
    text.push('\n');
}
