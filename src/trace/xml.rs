//! A pull reader for XML from strangers: quick-xml with bounds, line numbers and no entities of its own.

use quick_xml::Reader;
use quick_xml::events::{BytesRef, Event};

use super::error::excerpt;
use super::lines::Lines;
use crate::limits::{XML_DEPTH as DEPTH, XML_TAG_BYTES as TAG, XML_TEXT_BYTES as TEXT};

/// Of the depth, so many are left to what is read from within a document; the other half is for what may lie around it.
const SHALLOW: usize = DEPTH / 2;

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
    text: &'a str,
    lines: Lines<'a>,
    depth: usize,
    start: usize,
    /// Bytes that were leapt over, which the reader does not count.
    leapt: usize,
    /// Bytes that the reader counts and that stood in texts before this one.
    before: usize,
}

impl<'a> Source<'a> {
    pub(super) fn of(text: &'a str) -> Self {
        let mut reader = Reader::from_str(text);
        // "Bed & Breakfast" in a name is no reason to lose a recording.
        reader.config_mut().allow_dangling_amp = true;
        Self {
            reader,
            text,
            lines: Lines::of(text),
            depth: 0,
            start: 0,
            leapt: 0,
            before: 0,
        }
    }

    /// Goes on in another text, which begins in line `line` and is as if it stood where the event returned last ends.
    pub(super) fn go_on(&mut self, text: &'a str, line: u64) {
        *self.reader.get_mut() = text.as_bytes();
        self.before = usize::try_from(self.reader.buffer_position()).unwrap_or(usize::MAX);
        (self.text, self.lines) = (text, Lines::from(text, line));
        (self.start, self.leapt) = (0, 0);
    }

    /// As if the reading had come to `offset` of a text that begins in line `line`, with so many elements open around it that only a few
    /// more may be; no name of theirs is known.
    pub(super) fn within(text: &'a str, offset: usize, line: u64) -> Self {
        let mut source = Self::of(text);
        source.lines = Lines::from(text, line);
        source.leap(offset);
        source.depth = DEPTH - SHALLOW;
        source
    }

    /// Whether elements may be nested at least as deep in the one around as [`Source::within`] lets them be.
    pub(super) fn is_shallow(&self) -> bool {
        self.depth <= DEPTH - SHALLOW
    }

    /// Elements open around the event returned last; the element itself counts in its start and no more in its end.
    pub(super) fn depth(&self) -> usize {
        self.depth
    }

    /// Line where the event returned last begins.
    pub(super) fn line(&mut self) -> u64 {
        self.lines.at(self.begin())
    }

    /// The next event, not yet held against the bounds. Space before it is an event of its own only where it is wanted:
    /// that between elements would be a third of all events.
    #[inline]
    pub(super) fn advance(&mut self, space: bool) -> Result<Event<'a>, quick_xml::Error> {
        self.start = self.position();
        self.reader.config_mut().trim_text_start = !space;
        self.reader.read_event()
    }

    /// Goes on at `offset`. What is leapt over must be whole elements, and the event returned last an end.
    pub(super) fn leap(&mut self, offset: usize) {
        let over = offset.checked_sub(self.position());
        if let (Some(over), Some(rest)) = (over, self.text.get(offset..)) {
            self.leapt += over;
            *self.reader.get_mut() = rest.as_bytes();
        }
    }

    /// Lets another reader go over what follows the end of the event returned last, and goes on where it says that it ended.
    pub(super) fn scan(
        &mut self,
        read: impl FnOnce(&'a str, usize, &mut Lines<'a>) -> usize,
    ) -> usize {
        let end = read(self.text, self.position(), &mut self.lines);
        self.leap(end);
        end
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
                let offset = offset.saturating_sub(self.before);
                let offset = offset.saturating_add(self.leapt).max(self.begin());
                return Err(self.damage(offset, &error.to_string()));
            }
        };
        let (length, bound) = match event {
            Event::Start(tag) => {
                self.depth += 1;
                if self.depth > DEPTH {
                    return Err(self.damage(
                        self.begin(),
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
                        self.damage(self.begin(), "the file ends before its elements are closed")
                    );
                }
                (0, 0)
            }
        };
        if length > bound {
            return Err(self.damage(
                self.begin(),
                &format!(
                    "a stretch of {length} bytes without a tag or inside one, more than {bound}"
                ),
            ));
        }
        Ok(event)
    }

    /// Where the event returned last ends.
    #[inline]
    pub(super) fn position(&self) -> usize {
        let read = usize::try_from(self.reader.buffer_position()).unwrap_or(usize::MAX);
        read.saturating_sub(self.before).saturating_add(self.leapt)
    }

    /// Where the event returned last begins, behind any space before it.
    fn begin(&self) -> usize {
        let rest = self.text.as_bytes().get(self.start..).unwrap_or_default();
        let space = rest.iter().take_while(|b| b.is_ascii_whitespace()).count();
        self.start + space
    }

    fn damage(&mut self, offset: usize, message: &str) -> Stop {
        Stop::Damage {
            line: self.lines.at(offset),
            offset: self.begin(),
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
