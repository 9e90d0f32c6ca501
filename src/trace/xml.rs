//! A pull reader for XML from strangers: quick-xml with bounds, line numbers and no entities of its own.

use quick_xml::Reader;
use quick_xml::events::{BytesRef, Event};

use super::error::excerpt;
use super::lines::Lines;

/// Deepest nesting that is followed. GPX with extensions within extensions needs about ten.
const DEPTH: usize = 128;
/// Longest tag with its attributes, bytes. A root with a dozen namespaces needs two thousand.
const TAG: usize = 64 << 10;
/// Longest text, comment or other stretch without a tag, bytes.
const TEXT: usize = 1 << 20;

/// What stops the reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Stop {
    /// The document breaks off or is not well-formed.
    Damage {
        line: u64,
        offset: usize,
        message: String,
    },
    /// The document declares entities.
    Declarations { line: u64 },
}

/// The events of a document.
pub(super) struct Source<'a> {
    reader: Reader<&'a [u8]>,
    lines: Lines<'a>,
    depth: usize,
    start: usize,
}

impl<'a> Source<'a> {
    pub(super) fn of(text: &'a str) -> Self {
        let mut reader = Reader::from_str(text);
        // "Bed & Breakfast" in a name is no reason to lose a recording.
        reader.config_mut().allow_dangling_amp = true;
        Self {
            reader,
            lines: Lines::of(text),
            depth: 0,
            start: 0,
        }
    }

    /// Elements open around the event returned last; the element itself counts in its start and no more in its end.
    pub(super) fn depth(&self) -> usize {
        self.depth
    }

    /// Line where the event returned last begins.
    pub(super) fn line(&mut self) -> u64 {
        self.lines.at(self.start)
    }

    /// The next event, not yet held against the bounds.
    #[inline]
    pub(super) fn advance(&mut self) -> Result<Event<'a>, quick_xml::Error> {
        self.start = self.position();
        self.reader.read_event()
    }

    /// The event just returned, if it keeps within the bounds; [`Event::Eof`] only where every element is closed.
    ///
    /// It is looked at where it lies: to pass it on by value would copy each event twice, a quarter of the time of a reading.
    #[inline]
    pub(super) fn bounded<'e>(
        &mut self,
        event: &'e Result<Event<'a>, quick_xml::Error>,
    ) -> Result<&'e Event<'a>, Stop> {
        let event = match event {
            Ok(event) => event,
            Err(error) => {
                let offset = usize::try_from(self.reader.error_position()).unwrap_or(usize::MAX);
                return Err(self.damage(offset.max(self.start), &error.to_string()));
            }
        };
        let (length, bound) = match event {
            Event::Start(tag) => {
                self.depth += 1;
                if self.depth > DEPTH {
                    return Err(self.damage(
                        self.start,
                        &format!("elements are nested more than {DEPTH} deep"),
                    ));
                }
                (tag.len(), TAG)
            }
            Event::Empty(tag) => (tag.len(), TAG),
            Event::End(tag) => {
                self.depth = self.depth.saturating_sub(1);
                (tag.len(), TAG)
            }
            Event::Text(text) | Event::Comment(text) => (text.len(), TEXT),
            Event::CData(text) => (text.len(), TEXT),
            Event::PI(text) => (text.len(), TEXT),
            Event::DocType(text) => {
                // An internal subset is where entities are declared; nothing in GPX needs one.
                if text.contains('[') {
                    return Err(Stop::Declarations { line: self.line() });
                }
                (text.len(), TEXT)
            }
            Event::Decl(tag) => (tag.len(), TAG),
            Event::GeneralRef(name) => (name.len(), TAG),
            Event::Eof => {
                if self.depth > 0 {
                    return Err(
                        self.damage(self.start, "the file ends before its elements are closed")
                    );
                }
                (0, 0)
            }
        };
        if length > bound {
            return Err(self.damage(
                self.start,
                &format!(
                    "a stretch of {length} bytes without a tag or inside one, more than {bound}"
                ),
            ));
        }
        Ok(event)
    }

    fn position(&self) -> usize {
        usize::try_from(self.reader.buffer_position()).unwrap_or(usize::MAX)
    }

    fn damage(&mut self, offset: usize, message: &str) -> Stop {
        Stop::Damage {
            line: self.lines.at(offset),
            offset: self.start,
            // Names in it come from the file and may be of any length.
            message: excerpt(message, 200),
        }
    }
}

/// The character that a reference such as `&amp;` or `&#176;` stands for; `None` for a name that XML does not define.
pub(super) fn character(reference: &BytesRef<'_>) -> Option<char> {
    if let Ok(Some(c)) = reference.resolve_char_ref() {
        return Some(c);
    }
    match &**reference {
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" => Some('"'),
        "apos" => Some('\''),
        _ => None,
    }
}
