//! Reads an ordinary recording piece by piece as it comes, so that its text, half of what a review needed memory for, is never there
//! as a whole.
//!
//! Each piece but the last ends behind a track point. Two are read beside each other. One that holds ordinary points and nothing else goes
//! at once; where there is something else in it, such as the end of a segment, it stays for the reader of events, which goes on from
//! one such piece to the next. What may mean something else in the light of the whole file, be it damage, another encoding or other ends
//! of lines, is given up: such a file is to be read whole.

use std::cell::OnceCell;
use std::io::Read;

use memchr::{memchr, memchr_iter, memmem};

use super::document::{By, Document, Halt, POINT};
use super::element::Closed;
use super::packed::Points;
use super::read::{self, END};
use crate::trace::xml::Source;
use crate::trace::{Trace, encoding, format};

/// Bytes of a piece: little beside what is made of a recording that is worth to be read so, and half a millisecond of work.
const PIECE: usize = 128 << 10;

/// Most pieces with something odd in them: they stay in memory.
const ODD: usize = 128;

/// Reads a GPX file of about so many bytes. `None` where it is to be read whole, which says no more than that.
pub(in crate::trace) fn read_in_pieces(input: impl Read, bytes: usize) -> Option<Trace> {
    read_by(PIECE, input, bytes)
}

fn read_by(size: usize, input: impl Read, bytes: usize) -> Option<Trace> {
    let mut pieces = Pieces {
        input,
        size,
        carried: Vec::new(),
        line: 1,
    };
    let head = pieces.next()?;
    if head.last || !begins_ordinarily(&head.text) {
        return None;
    }
    let odd = [const { OnceCell::new() }; ODD];
    let mut reading = Reading {
        source: Source::of(&head.text),
        document: Document::new(0, By::Bytes),
        odd: odd.iter(),
    };
    reading.go_to(head.text.len())?;
    // As many points as its beginning has for its length, and a few more: fixes that outgrow their room are for a moment there twice.
    let collector = &mut reading.document.collector;
    let points = collector.met() as f64 * bytes as f64 / head.text.len() as f64;
    collector.expect((points * 1.05) as usize);
    let mut ended = false;
    while !ended {
        let first = pieces.next()?;
        let second = if first.last {
            None
        } else {
            Some(pieces.next()?)
        };
        ended = second.as_ref().is_none_or(|second| second.last);
        // Asked for here, since what a thread of the pool frees stays with it.
        let mut points = Points::with_capacity(second.as_ref().map_or(0, Piece::points));
        let document = &mut reading.document;
        let (end, other) = rayon::join(
            || first.run(|point| document.settle(point)),
            || Some(second.as_ref()?.run(|point| points.push(point))),
        );
        reading.take(first, end)?;
        if let Some((second, end)) = second.zip(other) {
            points.each(|point| reading.document.settle(point));
            reading.take(second, end)?;
        }
    }
    reading.document.finish().ok()
}

/// Whether the beginning of a text already says that it is read as XML in UTF-8 with lines that end as usual.
fn begins_ordinarily(head: &str) -> bool {
    encoding::is_utf8(head.as_bytes())
        && format::refuse_binary(head.as_bytes()).is_ok()
        && format::detect(head) == Ok(format::Kind::Xml)
        && memchr(b'\n', head.as_bytes()).is_some()
}

/// A text between two points.
struct Piece {
    text: String,
    /// The line that it begins in.
    line: u64,
    /// Whether nothing follows.
    last: bool,
}

impl Piece {
    /// How many points are in it, at most.
    fn points(&self) -> usize {
        self.text.len() / POINT
    }

    /// Shows the points that it begins with, and gives where they end.
    fn run(&self, show: impl FnMut(Closed)) -> usize {
        let source = Source::within(&self.text, 0, self.line);
        read::run(source, By::Bytes, show)
    }
}

/// The pieces of a file.
struct Pieces<R> {
    input: R,
    /// Bytes that are read at once.
    size: usize,
    /// What was read behind the last point of the piece before.
    carried: Vec<u8>,
    line: u64,
}

impl<R: Read> Pieces<R> {
    /// The next piece; `None` where it cannot be read or parted, or is not like any other text.
    fn next(&mut self) -> Option<Piece> {
        let mut bytes = Vec::with_capacity(self.carried.len() + self.size);
        bytes.append(&mut self.carried);
        let limit = self.size as u64;
        let read = (&mut self.input).take(limit).read_to_end(&mut bytes).ok()?;
        let last = read < self.size;
        if !last {
            let end = memmem::rfind(&bytes, END)? + END.len();
            self.carried.extend_from_slice(bytes.get(end..)?);
            bytes.truncate(end);
        }
        let line = self.line;
        let ends = memchr_iter(b'\n', &bytes).count();
        self.line += ends as u64;
        let usual = memchr(0, &bytes).is_none() && (ends > 0 || memchr(b'\r', &bytes).is_none());
        let text = String::from_utf8(bytes).ok().filter(|_| usual)?;
        Some(Piece { text, line, last })
    }
}

/// How far a file was read.
struct Reading<'a> {
    source: Source<'a>,
    document: Document,
    /// Where odd pieces are kept.
    odd: std::slice::Iter<'a, OnceCell<String>>,
}

impl Reading<'_> {
    /// Takes in a piece of which the points that it begins with, up to an offset, are settled already.
    fn take(&mut self, piece: Piece, settled: usize) -> Option<()> {
        if !piece.last && settled == piece.text.len() {
            return Some(());
        }
        let kept = self.odd.next()?;
        kept.set(piece.text).ok()?;
        let text = kept.get()?;
        self.source.go_on(text, piece.line);
        self.source.leap(settled);
        if !piece.last {
            return self.go_to(text.len());
        }
        let halt = self.document.read(&mut self.source, usize::MAX).ok()?;
        matches!(halt, Halt::End).then_some(())
    }

    /// Reads on until a point ends at `mark`, where further pieces can follow.
    fn go_to(&mut self, mark: usize) -> Option<()> {
        if self.source.position() == mark {
            return Some(());
        }
        let halt = self.document.read(&mut self.source, mark).ok()?;
        (matches!(halt, Halt::Mark) && self.source.is_shallow()).then_some(())
    }
}

#[cfg(test)]
mod tests {
    use super::{read, read_by};
    use crate::trace::gpx::read::tests::ODD;

    /// The file read in pieces of so many bytes, where that says something.
    fn in_pieces(text: &str, size: usize) -> Option<String> {
        let trace = read_by(size, text.as_bytes(), text.len())?;
        Some(format!("{trace:?}"))
    }

    #[test]
    fn a_file_read_in_pieces_says_the_same_wherever_it_is_cut() {
        let segments = ODD.replace("<!--", "</trkseg>\r\n<trkseg><!--");
        let mut read = 0;
        for text in [ODD, &segments] {
            let whole = format!("{:?}", read::read(text).expect("points"));
            for size in 1..text.len() {
                let pieces = in_pieces(text, size);
                read += usize::from(pieces.is_some());
                assert!(pieces.is_none_or(|pieces| pieces == whole), "by {size}");
            }
        }
        assert!(read > 500, "{read}");
    }

    #[test]
    fn what_hangs_on_the_whole_file_is_given_up() {
        let sizes = 200..ODD.len();
        let read = |text: &str| {
            sizes
                .clone()
                .filter_map(|size| in_pieces(text, size))
                .count()
        };
        assert!(read(ODD) > 100, "{}", read(ODD));
        let (cut_off, _) = ODD.split_at(ODD.len() - 40);
        let without_lines = ODD.replace('\n', " ");
        let old = ODD.replace('\n', "\r");
        let zero = ODD.replace("Gate", "G\0te");
        let marked = format!("\u{feff}{ODD}");
        let other = ODD.replace(
            "version=\"1.0\"?",
            "version=\"1.0\" encoding=\"ISO-8859-1\"?",
        );
        for text in [cut_off, &without_lines, &old, &zero, &marked, &other] {
            assert_eq!(read(text), 0, "{text}");
        }
        let mut bytes = ODD.as_bytes().to_vec();
        let last = bytes.len() - 20;
        bytes.insert(last, 0xe9);
        assert!(
            sizes
                .clone()
                .all(|size| read_by(size, bytes.as_slice(), 0).is_none())
        );
    }
}
