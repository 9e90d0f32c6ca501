//! The value of a setting, whatever it is of.

use std::borrow::Cow;

/// The value of a setting.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A quantity in SI units (degrees for angles, °C and mmHg for the air), or a count.
    Number(f64),
    /// A word or a text.
    Text(Cow<'static, str>),
    /// Left open.
    None,
}

impl Value {
    /// A word known when the program is built.
    pub(super) const fn word(word: &'static str) -> Self {
        Self::Text(Cow::Borrowed(word))
    }

    /// The number, if it is one.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// The text, if it is one.
    #[must_use]
    pub(crate) fn as_text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }
}
