//! Reads assignments of settings from a TOML file and from the command line.

use toml::de::{DeTable, DeValue};

use crate::settings::error::{Error, Place};
use crate::settings::key::Key;
use crate::settings::keys;
use crate::settings::value::Value;

/// Names at least this alike are offered for an unknown one, on a scale from 0 to 1.
const ALIKE: f64 = 0.82;

/// A setting and the value that somebody gave it.
pub(super) struct Assignment {
    pub(super) key: &'static Key,
    pub(super) value: Value,
    pub(super) place: Place,
}

/// Reads `name=value`.
pub(super) fn assignment(text: &str) -> Result<Assignment, Error> {
    let Some((name, value)) = text.split_once('=') else {
        return Err(Error::NoValue {
            text: text.to_owned(),
        });
    };
    let place = Place::CommandLine;
    let key = find(name.trim(), &place)?;
    // Quotes are what a file needs; a user who copies a line from one writes them here too.
    let bare = value.trim();
    let bare = bare
        .strip_prefix('"')
        .and_then(|b| b.strip_suffix('"'))
        .unwrap_or(bare);
    match key.read(bare) {
        Some(value) => Ok(Assignment { key, value, place }),
        None => Err(refused(key, bare, place)),
    }
}

/// Reads a file, in the order of its lines.
pub(super) fn assignments(name: &str, text: &str) -> Result<Vec<Assignment>, Error> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let place = |offset: usize| Place::File {
        name: name.to_owned(),
        line: line_of(text, offset),
    };
    let table = DeTable::parse(text).map_err(|error| Error::Syntax {
        place: place(error.span().map_or(0, |span| span.start)),
        message: error.message().replace('\n', ", "),
    })?;
    let mut leaves = Vec::new();
    flatten(table.get_ref(), "", &mut leaves);
    // The table is sorted by name; mistakes are reported from the top.
    leaves.sort_by_key(|leaf| leaf.offset);

    let mut found: Vec<Assignment> = Vec::with_capacity(leaves.len());
    for leaf in leaves {
        let place = place(leaf.offset);
        let key = find(&leaf.name, &place)?;
        if found.iter().any(|earlier| earlier.key == key) {
            return Err(Error::Twice {
                place,
                key: key.name,
            });
        }
        let value = match leaf.value {
            DeValue::String(text) => key.read(text),
            DeValue::Integer(digits) if digits.radix() == 10 => {
                plain(digits.as_str()).and_then(|n| key.take(n))
            }
            DeValue::Float(digits) => plain(digits.as_str()).and_then(|n| key.take(n)),
            _ => None,
        };
        match value {
            Some(value) => found.push(Assignment { key, value, place }),
            None => return Err(refused(key, &written(leaf.value), place)),
        }
    }
    Ok(found)
}

/// A value of a file with its dotted name and where the name begins.
struct Leaf<'t> {
    name: String,
    value: &'t DeValue<'t>,
    offset: usize,
}

fn flatten<'t>(table: &'t DeTable<'t>, prefix: &str, leaves: &mut Vec<Leaf<'t>>) {
    for (key, value) in table {
        let name = format!("{prefix}{}", key.get_ref());
        match value.get_ref() {
            DeValue::Table(inner) if !inner.is_empty() => {
                flatten(inner, &format!("{name}."), leaves);
            }
            // An empty table sets nothing: a heading whose lines were all deleted.
            DeValue::Table(_) => {}
            value => leaves.push(Leaf {
                name,
                value,
                offset: key.span().start,
            }),
        }
    }
}

/// A number as TOML writes it, with underscores between digits.
fn plain(digits: &str) -> Option<f64> {
    digits.replace('_', "").parse().ok()
}

fn line_of(text: &str, offset: usize) -> usize {
    1 + text
        .bytes()
        .take(offset)
        .filter(|&byte| byte == b'\n')
        .count()
}

fn find(name: &str, place: &Place) -> Result<&'static Key, Error> {
    keys::all()
        .find(|key| key.name == name)
        .ok_or_else(|| Error::UnknownKey {
            place: place.clone(),
            key: name.to_owned(),
            nearest: nearest(name),
        })
}

/// Settings that a wrong name may have meant: those of a group when only the group was named, else the most alike.
fn nearest(name: &str) -> Vec<&'static str> {
    let name = name.to_lowercase().replace('-', "_");
    let group = format!("{name}.");
    let inside: Vec<&'static str> = keys::all()
        .map(|key| key.name)
        .filter(|key| key.starts_with(&group))
        .collect();
    if !inside.is_empty() {
        return inside;
    }
    keys::all()
        .map(|key| (strsim::jaro_winkler(&name, key.name), key.name))
        .filter(|(likeness, _)| *likeness >= ALIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, key)| key)
        .into_iter()
        .collect()
}

fn refused(key: &'static Key, given: &str, place: Place) -> Error {
    // A long text is cut, so that a message stays a line.
    let mut given: String = given
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if let Some((cut, _)) = given.char_indices().nth(40) {
        given.truncate(cut);
        given.push('…');
    }
    Error::Value {
        place,
        key: key.name,
        given: format!("`{given}`"),
        expected: key.expected(),
    }
}

/// A value of a file in words, for a message.
fn written(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => text.clone().into_owned(),
        DeValue::Integer(digits) => digits.to_string(),
        DeValue::Float(digits) => digits.to_string(),
        DeValue::Boolean(yes) => yes.to_string(),
        DeValue::Datetime(moment) => moment.to_string(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}
