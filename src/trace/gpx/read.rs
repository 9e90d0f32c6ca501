//! Reads GPX 1.0 and 1.1, and what resembles them.
//!
//! Elements are matched by local name, whatever their prefix, namespace and order, so that a file with a missing or wrong
//! namespace reads like any other. Damage ends the reading but not the recording: what stood before it is kept.

use memchr::{memchr, memmem};
use quick_xml::events::Event;

use super::document::{By, Document, Halt, POINT, Place};
use super::element::Closed;
use super::packed::Points;
use super::scan;
use crate::trace::lines::Lines;
use crate::trace::xml::{Source, Stop};
use crate::trace::{Defect, Error, Trace};

/// Reads the text of a GPX file.
pub(in crate::trace) fn read(text: &str) -> Result<Trace, Error> {
    read_in_two(text, middle(text), By::Bytes)
}

/// Reads the text of a GPX file with the reader of events alone, and with ordinary points by their bytes; for tests, which hold
/// the second to the first.
///
/// # Errors
/// As [`crate::trace::read`].
pub fn read_both_ways(text: &str) -> [Result<Trace, Error>; 2] {
    [By::Events, By::Bytes].map(|by| read_in_two(text, None, by))
}

/// Reads a text, the points behind `mark` beside what stands before it.
fn read_in_two(text: &str, mark: Option<usize>, by: By) -> Result<Trace, Error> {
    let mut source = Source::of(text);
    let mut document = Document::new(text.len(), by);
    let mut halt = Halt::Mark;
    if let Some(mark) = mark {
        // Room that is not used takes no memory. It is asked for here, since what a thread of the pool frees stays with it.
        let mut points = Points::with_capacity((text.len() - mark) / POINT);
        let (front, end) = rayon::join(
            || document.read(&mut source, mark),
            || {
                run(Source::within(text, mark, 1), by, |point| {
                    points.push(point);
                })
            },
        );
        halt = front?;
        if matches!(halt, Halt::Mark) && source.is_shallow() {
            points.each(|point| document.settle(point));
            source.leap(end);
        }
    }
    if let Halt::Mark = halt {
        halt = document.read(&mut source, usize::MAX)?;
    }
    if let Some(at) = memchr(0, text.as_bytes()) {
        let line = Lines::of(text).at(at);
        document
            .defects
            .push(Defect::at(line, "the file holds zero bytes"));
    }
    match halt {
        Halt::Mark | Halt::End => {}
        Halt::Stop(Stop::Declarations { line }) => return Err(Error::Declarations { line }),
        Halt::Stop(Stop::Damage {
            line,
            offset,
            message,
        }) => document.damage(text, line, offset, message)?,
    }
    document.finish()
}

/// Shorter texts are read in one go, bytes: they take a few milliseconds.
const LONG: usize = 1 << 20;

/// How a point ends, where nothing is odd.
pub(super) const END: &[u8] = b"</trkpt>";

/// Where the second half of a long text begins, behind the end of a track point; as far as can be told from there.
fn middle(text: &str) -> Option<usize> {
    let half = text.len() / 2;
    if text.len() < LONG {
        return None;
    }
    memmem::find(text.as_bytes().get(half..)?, END).map(|at| half + at + END.len())
}

/// Shows the track points that follow where a source within a document begins, with nothing odd between or inside; none where it is not
/// what it seems to be. Gives where the last of them ends.
///
/// Such points mean the same wherever they stand in a document, so that they can be read while what stands before them is.
pub(super) fn run(mut source: Source<'_>, by: By, mut show: impl FnMut(Closed)) -> usize {
    let mut document = Document::new(0, by);
    document.place = Place::Structure;
    document.after_point = true;
    let mut end = source.position();
    loop {
        if document.is_between_points() {
            end = source.scan(|text, from, lines| {
                scan::points(text, from, lines, |point, _| {
                    show(point);
                    true
                })
            });
        }
        let event = source.advance(document.field.is_some());
        let Ok(event) = source.bounded(&event) else {
            break;
        };
        let plain = match event {
            _ if document.place != Place::Structure => true,
            Event::Start(tag) | Event::Empty(tag) => tag.name().into_inner() == "trkpt",
            Event::Text(_) => true,
            _ => false,
        };
        if !plain || document.take(event, &mut source).is_err() || document.collector.met() > 0 {
            break;
        }
        if !document.closed.is_empty() {
            document.closed.drain(..).for_each(&mut show);
            end = source.position();
            document.after_point = true;
        }
    }
    // What a tag that ends the run has closed stands before its end.
    document.closed.into_iter().for_each(show);
    end
}

#[cfg(test)]
pub(super) mod tests {
    use super::{By, read_in_two};

    /// A document with all that may make the points of its second half mean something else than they seem to.
    pub(in crate::trace::gpx) const ODD: &str = r#"<?xml version="1.0"?>
<gpx version="1.1" xmlns:m="urn:example:motion"><metadata><name>Lap</name></metadata>
<wpt lat="1" lon="1"><name>Gate</name></wpt><trk><name>Two <![CDATA[</trkpt>]]> &amp; three</name><trkseg>
<trkpt lat="48.1" lon="11.5"><time>2026-05-12T17:00:00Z</time></trkpt>
<trkpt lat="48.2" lon="11.5"><time>2026-05-12T17:00:01Z</time>
  <extensions><m:hr>120</m:hr><m:speed> 3.5 </m:speed></extensions></trkpt>
<trkpt lat="48.3" lon="11.5"><time>2026-05-12T17:00:02Z</time><fix>none</fix></trkpt>
<!-- </trkpt> --><trkpt lat="x" lon="11.5"><time>soon</time></trkpt>
</trkseg><trkseg>
<trkpt lat="48.4" lon="11.5"><trkpt lat="9" lon="9"></trkpt><time>2026-05-12T17:00:03Z</time></trkpt>
<trkpt lat="48.5" lon="11.5"/>
<trkpt lat="48.6" lon="11.5"><ele>5&deg;</ele><time>2026-05-12T17:00:04Z</time></trkpt>

</trkseg></trk><rte><trkpt lat="48.6" lon="11.5"></trkpt><trkpt lat="2" lon="2"></trkpt></rte>
<trk><trkseg><trkpt lat="48.7" lon="11.5"><time>2026-05-12T17:00:05Z</time></trkpt>
<trkpt lat="48.8" lon="11.5"><time>2026-05-12T17:00:06Z</time></trkpt></trkseg></trk></gpx>
"#;

    /// The first has a line's end in its time, the last another number of them between its tags.
    #[test]
    fn points_written_alike_lie_on_the_lines_where_they_stand() {
        let point = |second: usize, odd: &str| {
            format!(
                "<trkpt lat=\"48.{second}\" lon=\"11.5\">\n<time>{odd}2026-05-12T17:00:0{second}Z</time>\n<hr>9{second}</hr></trkpt>\n"
            )
        };
        let points: String = (0..9)
            .map(|k| point(k, ["", "\n"][usize::from(k == 1)]))
            .collect();
        let text = format!(
            "<gpx><trk><trkseg>{points}\n{}</trkseg></trk></gpx>",
            point(9, "")
        );
        let [bytes, events] = [By::Bytes, By::Events].map(|by| read_in_two(&text, None, by));
        assert_eq!(format!("{bytes:?}"), format!("{events:?}"));
        let lines: Vec<u64> = (bytes.expect("ten points").fixes.iter())
            .map(|f| f.line)
            .collect();
        assert_eq!(lines, [1, 4, 8, 11, 14, 17, 20, 23, 26, 30]);
    }

    #[test]
    fn a_document_read_in_two_says_the_same_wherever_it_is_parted() {
        let damaged = ODD.replace("</rte>", "</trk>");
        let (cut_off, _) = ODD.split_at(ODD.len() - 40);
        for text in [ODD, &damaged, cut_off] {
            let whole = format!("{:?}", read_in_two(text, None, By::Events));
            let by_bytes = format!("{:?}", read_in_two(text, None, By::Bytes));
            assert_eq!(by_bytes, whole);
            let ends = text
                .match_indices("</trkpt>")
                .map(|(at, end)| at + end.len());
            for mark in ends.clone() {
                for by in [By::Bytes, By::Events] {
                    let parted = format!("{:?}", read_in_two(text, Some(mark), by));
                    assert_eq!(parted, whole, "at {mark}, {by:?}");
                }
            }
            assert!(ends.count() > 9);
        }
    }
}
