//! Ordinary track points, read by their bytes.
//!
//! Nearly all of a recording is points that a program wrote: tags without attributes but `lat` and `lon`, and between them numbers,
//! times and space, in any order. They are read here without the events and checks of an XML reader, in an eighth of the
//! instructions. At the first thing that is not of that kind, be it a comment, a reference, an odd attribute or damage, the point
//! is left to the reader of events, whose answer is the truth: the two agree on every byte, which tests and a fuzzer hold them to.

use memchr::memchr2;

use super::element::{Closed, Element, FIELD, Point, element, field};
use crate::trace::lines::Lines;
use crate::trace::time::Following;

/// Elements within each other inside a point; receivers write three.
const DEEPEST: usize = 8;
/// Longest stretch of space or of text that no field holds, bytes.
const STRETCH: usize = 256;
/// Longest name of an element, bytes.
const NAME: usize = 64;
/// Longest coordinate, bytes.
const COORDINATE: usize = 32;

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
    let mut scanner = Scanner { text, at: offset };
    while let Some(point) = scanner.point(lines, &mut times) {
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

struct Scanner<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scanner<'a> {
    fn point(&mut self, lines: &mut Lines<'_>, times: &mut Following) -> Option<Point> {
        self.space()?;
        let begin = self.at;
        self.expect("<trkpt")?;
        let (mut latitude, mut longitude) = (None, None);
        while self.space()? > 0 && self.byte()? != b'>' {
            let slot = match (self.byte()?, self.expect("l")) {
                (b'l', Some(())) if self.expect("at=").is_some() => &mut latitude,
                (b'l', Some(())) if self.expect("on=").is_some() => &mut longitude,
                _ => return None,
            };
            if slot.replace(field(self.quoted()?)).is_some() {
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
                        let text = self.field(name)?;
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
            self.plain(STRETCH)?;
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
        let rest = self.text.get(self.at + 1..)?;
        let plain = |b: &&u8| is(**b, NUMBER);
        let end = rest.as_bytes().iter().take_while(plain).count();
        if end > COORDINATE || rest.as_bytes().get(end) != Some(&quote) {
            return None;
        }
        self.at += end + 2;
        rest.get(..end)
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

    /// The text of an element that holds nothing else, and its end tag.
    #[inline]
    fn field(&mut self, name: &str) -> Option<&'a str> {
        let text = self.plain(FIELD)?;
        self.expect("</")?;
        self.expect(name)?;
        self.expect(">")?;
        Some(text)
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
