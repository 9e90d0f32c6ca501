//! Ordinary track points, read by their bytes.
//!
//! Nearly all of a recording is points that a program wrote: tags without attributes but `lat` and `lon`, and between them numbers,
//! times and space, in any order. They are read here without the events and checks of an XML reader, in a fifteenth of the
//! instructions: a point that has the very tags and space of the one before is only asked for its values. At the first thing that is not
//! of that kind, be it a comment, a reference, an odd attribute or damage, the point is left to the reader of events, whose answer is the
//! truth: the two agree on every byte, which tests and a fuzzer hold them to.

use std::ops::Range;

use memchr::memchr2;

use super::element::{Closed, Element, FIELD, Point, element, field};
use crate::trace::candidate::Field;
use crate::trace::lines::Lines;
use crate::trace::number;
use crate::trace::time::Following;

/// Elements within each other inside a point; receivers write three.
const DEEPEST: usize = 8;
/// Longest stretch of space or of text that no field holds, bytes.
const STRETCH: usize = 256;
/// Longest name of an element, bytes.
const NAME: usize = 64;
/// Longest coordinate, bytes.
const COORDINATE: usize = 32;
/// Most values of a point that the next is expected to have as well.
const VALUES: usize = 24;

/// Hands on the points that follow an offset, which must lie between points, each with the offset of its end, until `take` says
/// that it is enough or something comes that is not ordinary. Gives where the last of them ends.
pub(super) fn points(
    text: &str,
    offset: usize,
    lines: &mut Lines<'_>,
    mut take: impl FnMut(Closed, usize) -> bool,
) -> usize {
    let mut times = Following::default();
    let mut end = offset;
    let mut scanner = Scanner {
        text,
        at: offset,
        values: Vec::new(),
    };
    let mut usual = Pattern::default();
    // Where no point is written as the one before, it is not worth to learn from each.
    let mut unalike = 0_u32;
    loop {
        let alike = scanner.alike(&usual, lines, &mut times);
        if alike.is_some() {
            unalike = 0;
        }
        let Some(point) = alike.or_else(|| {
            scanner.at = end;
            let point = scanner.point(lines, &mut times)?;
            unalike = unalike.saturating_add(1);
            if unalike.is_power_of_two() {
                scanner.learn(&mut usual, end, lines);
            }
            Some(point)
        }) else {
            break;
        };
        end = scanner.at;
        if !take(point.close(), end) {
            break;
        }
    }
    end
}

/// What a byte may be.
const SPACE: u8 = 1;
const NAMED: u8 = 2;
const NUMBER: u8 = 4;

/// What each byte may be, as XML and our numbers have it.
#[expect(clippy::indexing_slicing, reason = "there is a place for every byte")]
const KINDS: [u8; 256] = {
    let mut kinds = [0; 256];
    let mut byte = 0_u8;
    loop {
        let mut kind = 0;
        if matches!(byte, b' ' | b'\n' | b'\r' | b'\t') {
            kind |= SPACE;
        }
        if byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'.' | b'-') {
            kind |= NAMED;
        }
        if byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+' | b'e' | b'E') {
            kind |= NUMBER;
        }
        kinds[byte as usize] = kind;
        if byte == u8::MAX {
            break kinds;
        }
        byte += 1;
    }
};

/// How the point before was written: nearly every point has the tags of the last, to the byte, and other values between them.
#[derive(Default)]
struct Pattern<'a> {
    /// Each value with what stands before it; latitude and longitude come first. Empty where nothing is expected.
    values: Vec<(&'a str, Value)>,
    /// What stands behind the last.
    end: &'a str,
    /// Bytes of space before the point, and lines that end in it.
    space: usize,
    before: u64,
    /// Lines that end inside the point, but for its values.
    inside: u64,
}

/// What a value of a point is.
#[derive(Clone, Copy)]
enum Value {
    Latitude,
    Longitude,
    /// The text of a child, which may stand inside of extensions.
    Child(Element, bool),
    /// Text that means nothing.
    Nothing,
}

struct Scanner<'a> {
    text: &'a str,
    at: usize,
    /// Where the values of the point stand that is being read.
    values: Vec<(Range<usize>, Value)>,
}

impl<'a> Scanner<'a> {
    /// A point that is written as the one before was. `None` where it is not: what was passed until then is to be read once more.
    fn alike(
        &mut self,
        usual: &Pattern<'a>,
        lines: &mut Lines<'_>,
        times: &mut Following,
    ) -> Option<Point> {
        let ([first, second], children) = usual.values.split_first_chunk()?;
        let (from, begin) = (self.at, self.at + usual.space);
        self.expect(first.0)?;
        // Not before it is known that the point begins there: lines are counted forwards.
        let line = lines.at_knowing(begin, from, usual.before);
        let one = self.coordinate()?;
        self.expect(second.0)?;
        let other = self.coordinate()?;
        let mut point = match first.1 {
            Value::Latitude => Point::at(one, other, line),
            _ => Point::at(other, one, line),
        };
        for &(before, value) in children {
            self.expect(before)?;
            match value {
                Value::Child(Element::Time, _) => {
                    point.set_time(self.line_of_text(FIELD)?, |text| times.read(text));
                }
                Value::Child(Element::Fix, extension) => {
                    point.set(Element::Fix, self.line_of_text(FIELD)?, extension);
                }
                Value::Child(number, extension) => {
                    let value = match self.number() {
                        Some(value) => Field::Number(value),
                        None => field(self.line_of_text(FIELD)?),
                    };
                    point.set_number(number, value, extension);
                }
                Value::Nothing => {
                    self.line_of_text(STRETCH)?;
                }
                Value::Latitude | Value::Longitude => return None,
            }
        }
        self.expect(usual.end)?;
        lines.at_knowing(self.at, begin, usual.inside);
        Some(point)
    }

    /// Takes the point that was read last, from where the one before ended, for how the next will be written.
    fn learn(&self, usual: &mut Pattern<'a>, from: usize, lines: &Lines<'_>) {
        usual.values.clear();
        if self.values.len() > VALUES {
            return;
        }
        let (mut at, mut in_values) = (from, 0);
        for (place, value) in &self.values {
            in_values += lines.ends_in(place.clone());
            usual
                .values
                .push((self.text.get(at..place.start).unwrap_or_default(), *value));
            at = place.end;
        }
        let written = self.text.get(from..self.at).unwrap_or_default();
        usual.end = self.text.get(at..self.at).unwrap_or_default();
        usual.space = written.bytes().take_while(|b| is(*b, SPACE)).count();
        usual.before = lines.ends_in(from..from + usual.space);
        usual.inside = lines.ends_in(from + usual.space..self.at) - in_values;
    }

    /// A number that is written plainly, up to the end of its text or attribute, which is for what comes next to say.
    #[inline]
    fn number(&mut self) -> Option<f64> {
        let (value, length) = number::leading(self.text.as_bytes().get(self.at..)?)?;
        self.at += length;
        Some(value)
    }

    /// The value of an attribute up to its closing quote, which is for what comes next to say.
    #[inline]
    fn coordinate(&mut self) -> Option<Field> {
        match self.number() {
            Some(value) => Some(Field::Number(value)),
            None => self.numeral().map(field),
        }
    }

    /// What stands there that may be a number.
    #[inline]
    fn numeral(&mut self) -> Option<&'a str> {
        let rest = self.text.get(self.at..)?;
        let end = rest.bytes().take_while(|b| is(*b, NUMBER)).count();
        if end > COORDINATE {
            return None;
        }
        self.at += end;
        rest.get(..end)
    }

    /// The text up to the next tag, where no line ends in it.
    #[inline]
    fn line_of_text(&mut self, most: usize) -> Option<&'a str> {
        let text = self.plain(most)?;
        text.bytes().all(|b| b >= b' ').then_some(text)
    }

    fn point(&mut self, lines: &mut Lines<'_>, times: &mut Following) -> Option<Point> {
        self.space()?;
        let begin = self.at;
        self.expect("<trkpt")?;
        self.values.clear();
        let (mut latitude, mut longitude) = (None, None);
        while self.space()? > 0 && self.byte()? != b'>' {
            let (slot, value) = match (self.byte()?, self.expect("l")) {
                (b'l', Some(())) if self.expect("at=").is_some() => {
                    (&mut latitude, Value::Latitude)
                }
                (b'l', Some(())) if self.expect("on=").is_some() => {
                    (&mut longitude, Value::Longitude)
                }
                _ => return None,
            };
            let text = self.quoted()?;
            // In front of the closing quote.
            self.keep(text, self.at - 1, value);
            if slot.replace(field(text)).is_some() {
                return None;
            }
        }
        self.expect(">")?;
        let mut point = Point::at(latitude?, longitude?, lines.at(begin));
        self.children(&mut point, times)?;
        Some(point)
    }

    /// Everything to the end tag of the point.
    fn children(&mut self, point: &mut Point, times: &mut Following) -> Option<()> {
        let mut open = Open::default();
        loop {
            self.skip_text()?;
            self.expect("<")?;
            if self.expect("/").is_some() {
                let Some(name) = open.close() else {
                    return self.expect("trkpt>");
                };
                self.expect(name)?;
                self.expect(">")?;
                continue;
            }
            let (name, local) = self.name()?;
            let extension = open.extensions.is_some();
            match local {
                "trkpt" => return None,
                "extensions" if extension => return None,
                "extensions" => open.extensions = Some(open.depth),
                _ => {
                    if (extension || open.depth == 0)
                        && let Some(element) = element(local, extension)
                    {
                        let text = self.plain(FIELD)?;
                        self.keep(text, self.at, Value::Child(element, extension));
                        self.end_of(name)?;
                        match element {
                            Element::Time => point.set_time(text, |text| times.read(text)),
                            other => point.set(other, text, extension),
                        }
                        continue;
                    }
                }
            }
            open.open(name)?;
        }
    }

    /// Remembers where a value stands whose text ends at an offset.
    fn keep(&mut self, text: &str, end: usize, value: Value) {
        if self.values.len() <= VALUES {
            self.values.push((end - text.len()..end, value));
        }
    }

    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// Goes past a word that must come next.
    #[inline]
    fn expect(&mut self, word: &str) -> Option<()> {
        let rest = self.text.as_bytes().get(self.at..)?;
        rest.starts_with(word.as_bytes())
            .then(|| self.at += word.len())
    }

    /// Goes past space, and says how much of it there was.
    #[inline]
    fn space(&mut self) -> Option<usize> {
        let begin = self.at;
        while is(self.byte()?, SPACE) {
            self.at += 1;
        }
        let count = self.at - begin;
        (count < STRETCH).then_some(count)
    }

    /// Goes past text that means nothing, to the next tag.
    #[inline]
    fn skip_text(&mut self) -> Option<()> {
        self.space()?;
        if self.byte()? != b'<' {
            let text = self.plain(STRETCH)?;
            self.keep(text, self.at, Value::Nothing);
        }
        Some(())
    }

    /// The text up to the next tag, where it is short and has no reference in it.
    #[inline]
    fn plain(&mut self, most: usize) -> Option<&'a str> {
        let rest = self.text.get(self.at..)?;
        let end = memchr2(b'<', b'&', rest.as_bytes())?;
        if end > most || rest.as_bytes().get(end) != Some(&b'<') {
            return None;
        }
        self.at += end;
        rest.get(..end)
    }

    /// The value of an attribute.
    #[inline]
    fn quoted(&mut self) -> Option<&'a str> {
        let quote = self.byte()?;
        if quote != b'"' && quote != b'\'' {
            return None;
        }
        self.at += 1;
        let text = self.numeral()?;
        if self.byte()? != quote {
            return None;
        }
        self.at += 1;
        Some(text)
    }

    /// The name of a start tag without attributes, whose `<` lies behind, and what of it stands behind a prefix.
    #[inline]
    fn name(&mut self) -> Option<(&'a str, &'a str)> {
        let begin = self.at;
        let mut local = begin;
        if !self.byte()?.is_ascii_alphabetic() {
            return None;
        }
        while is(self.byte()?, NAMED) {
            self.at += 1;
            if self.byte() == Some(b':') {
                // A second colon is part of the local name, as XML readers have it.
                if local > begin {
                    return None;
                }
                self.at += 1;
                local = self.at;
            }
        }
        let end = self.at;
        self.expect(">")?;
        if end - begin > NAME {
            return None;
        }
        Some((self.text.get(begin..end)?, self.text.get(local..end)?))
    }

    /// Goes past an end tag.
    #[inline]
    fn end_of(&mut self, name: &str) -> Option<()> {
        self.expect("</")?;
        self.expect(name)?;
        self.expect(">")
    }
}

#[inline]
fn is(byte: u8, kind: u8) -> bool {
    KINDS.get(usize::from(byte)).is_some_and(|k| k & kind != 0)
}

/// The elements that are open inside a point.
#[derive(Default)]
struct Open<'a> {
    names: [&'a str; DEEPEST],
    depth: usize,
    /// Depth of the `extensions`, while inside.
    extensions: Option<usize>,
}

impl<'a> Open<'a> {
    fn open(&mut self, name: &'a str) -> Option<()> {
        *self.names.get_mut(self.depth)? = name;
        self.depth += 1;
        Some(())
    }

    /// Closes the innermost, and names it.
    fn close(&mut self) -> Option<&'a str> {
        self.depth = self.depth.checked_sub(1)?;
        if self.extensions == Some(self.depth) {
            self.extensions = None;
        }
        self.names.get(self.depth).copied()
    }
}
