//! Reads GPX 1.0 and 1.1, and what resembles them.
//!
//! Elements are matched by local name, whatever their prefix, namespace and order, so that a file with a missing or wrong
//! namespace reads like any other. Damage ends the reading but not the recording: what stood before it is kept.

use memchr::{memchr, memmem};
use quick_xml::events::{BytesStart, Event};

use super::element::{Closed, Element, FIELD, Point, element};
use super::scan;
use crate::limits;
use crate::trace::collect::Collector;
use crate::trace::defect::Reason;
use crate::trace::error::{excerpt, routes_and_waypoints};
use crate::trace::lines::Lines;
use crate::trace::xml::{Source, Stop, character};
use crate::trace::{Defect, Error, Format, Trace};

/// Bytes that a point takes at least where it has a time and an extension; for how much room to make.
const POINT: usize = 224;
/// Points that are kept in one piece.
const PIECE: usize = 1024;

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

/// How points are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    /// Ordinary ones by their bytes.
    Bytes,
    /// All by the events of an XML reader.
    Events,
}

/// Reads a text, the points behind `mark` beside what stands before it.
fn read_in_two(text: &str, mark: Option<usize>, by: By) -> Result<Trace, Error> {
    let mut source = Source::of(text);
    let mut document = Document::new(text.len(), by);
    let mut halt = Halt::Mark;
    if let Some(mark) = mark {
        let (front, run) = rayon::join(
            || document.read(&mut source, mark),
            || Run::from(text, mark, by),
        );
        halt = front?;
        if matches!(halt, Halt::Mark) && source.is_shallow() {
            let points = run.pieces.into_iter().flatten();
            points.for_each(|point| document.settle(point));
            source.leap(run.end);
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

/// Where a reading halts.
enum Halt {
    /// A point ends at the mark.
    Mark,
    /// The document ends.
    End,
    /// Something stops it.
    Stop(Stop),
}

/// Shorter texts are read in one go, bytes: they take a few milliseconds.
const LONG: usize = 1 << 20;

/// Where the second half of a long text begins, behind the end of a track point; as far as can be told from there.
fn middle(text: &str) -> Option<usize> {
    const END: &[u8] = b"</trkpt>";
    let half = text.len() / 2;
    if text.len() < LONG {
        return None;
    }
    memmem::find(text.as_bytes().get(half..)?, END).map(|at| half + at + END.len())
}

/// Track points that follow each other with nothing odd between or inside. Such points mean the same wherever they stand in
/// a document, so that they can be read while what stands before them is.
struct Run {
    /// The points in pieces, so that the memory of each is free again when it is settled.
    pieces: Vec<Vec<Closed>>,
    /// Where the last of them ends.
    end: usize,
}

impl Run {
    /// The points that follow an offset; none where it is not what it seems to be.
    fn from(text: &str, offset: usize, by: By) -> Self {
        let mut source = Source::within(text, offset);
        let mut document = Document::new(0, by);
        document.place = Place::Structure;
        document.after_point = true;
        let (mut pieces, mut end) = (Vec::new(), offset);
        let mut keep = |closed: &mut Vec<Closed>| {
            if closed.len() == PIECE {
                pieces.push(std::mem::replace(closed, Vec::with_capacity(PIECE)));
            }
        };
        loop {
            if document.is_between_points() {
                end = source.scan(|text, from, lines| {
                    scan::points(text, from, lines, |point, _| {
                        document.closed.push(point);
                        keep(&mut document.closed);
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
            let before = document.closed.len();
            if !plain || document.take(event, &mut source).is_err() || document.collector.met() > 0
            {
                break;
            }
            if document.closed.len() > before {
                end = source.position();
                document.after_point = true;
                keep(&mut document.closed);
            }
        }
        pieces.push(document.closed);
        Self { pieces, end }
    }
}

/// Whether a document type is that of a web page.
fn is_html(name: &str) -> bool {
    name.get(..4)
        .is_some_and(|start| start.eq_ignore_ascii_case("html"))
}

/// Where in the document the reading stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    /// Before the root or behind it.
    Outside,
    /// Inside the root, the metadata, a track or a segment.
    Structure,
    /// Inside an element whose content is not read, which is closed at this depth.
    Skipped { depth: usize },
    /// Inside a track point, opened at this depth.
    Point { depth: usize },
}

struct Document {
    collector: Collector,
    place: Place,
    point: Option<Point>,
    /// Points that were read to their end and are not settled yet.
    closed: Vec<Closed>,
    /// Depth of the `extensions` of the point, while inside.
    extensions: Option<usize>,
    /// The field whose text is being read, and its depth.
    field: Option<(Target, usize)>,
    text: String,
    /// Whether ordinary points are read by their bytes, and whether a point has just ended, behind which others may follow.
    by: By,
    after_point: bool,
    in_track: bool,
    roots: usize,
    version: Option<String>,
    title: Option<String>,
    track_title: Option<String>,
    /// What wrote the file, and what the track names as its source.
    creator: Option<String>,
    track_source: Option<String>,
    tracks: usize,
    routes: usize,
    waypoints: usize,
    defects: Vec<Defect>,
}

/// Where the text of a field goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Target {
    Title,
    TrackTitle,
    TrackSource,
    Child { element: Element, extension: bool },
}

impl Document {
    fn new(bytes: usize, by: By) -> Self {
        Self {
            collector: Collector::with_capacity(bytes / POINT),
            place: Place::Outside,
            point: None,
            closed: Vec::new(),
            extensions: None,
            field: None,
            text: String::new(),
            by,
            after_point: false,
            in_track: false,
            roots: 0,
            version: None,
            title: None,
            track_title: None,
            creator: None,
            track_source: None,
            tracks: 0,
            routes: 0,
            waypoints: 0,
            defects: Vec::new(),
        }
    }

    /// Reads on until a point ends at `mark`, or to the end of the document.
    fn read(&mut self, source: &mut Source<'_>, mark: usize) -> Result<Halt, Error> {
        loop {
            // Outside a field text means nothing, and space least of all.
            let event = source.advance(self.field.is_some());
            match source.bounded(&event) {
                Ok(Event::Eof) => return Ok(Halt::End),
                Ok(event) => self.take(event, source)?,
                Err(stop) => return Ok(Halt::Stop(stop)),
            }
            if let Some(point) = self.closed.pop() {
                self.settle(point);
                self.after_point = true;
                if source.position() == mark {
                    return Ok(Halt::Mark);
                }
            }
            if self.is_between_points() && source.is_shallow() {
                let end = source.scan(|text, from, lines| {
                    scan::points(text, from, lines, |point, end| {
                        self.settle(point);
                        end != mark
                    })
                });
                if end == mark {
                    return Ok(Halt::Mark);
                }
            }
        }
    }

    /// Whether a point has just ended and nothing but another of its segment is looked for; says so once.
    fn is_between_points(&mut self) -> bool {
        std::mem::take(&mut self.after_point)
            && self.by == By::Bytes
            && self.place == Place::Structure
            && self.field.is_none()
    }

    fn take(&mut self, event: &Event<'_>, source: &mut Source<'_>) -> Result<(), Error> {
        match event {
            Event::Text(part) => self.text(part),
            Event::Start(tag) => self.open(tag, source)?,
            Event::End(_) => self.close(source.depth() + 1),
            Event::Empty(tag) => self.empty(tag, source)?,
            Event::CData(part) => self.text(part),
            Event::GeneralRef(reference) => match character(reference) {
                Some(c) => self.text(c.encode_utf8(&mut [0; 4])),
                // A reference to nothing spoils the value that it stands in.
                None => self.text("\u{fffd}"),
            },
            Event::DocType(name) if is_html(name) => return Err(Error::Html),
            _ => {}
        }
        Ok(())
    }

    fn settle(&mut self, point: Closed) {
        match point {
            Ok(candidate) => self.collector.take(&candidate),
            Err((reason, line)) => self.collector.set_aside(reason, line),
        }
    }

    fn empty(&mut self, tag: &BytesStart<'_>, source: &mut Source<'_>) -> Result<(), Error> {
        // A closed tag is a start and an end; the source counts no depth for it.
        let depth = source.depth() + 1;
        self.open_at(tag, depth, source)?;
        self.close(depth);
        Ok(())
    }

    fn open(&mut self, tag: &BytesStart<'_>, source: &mut Source<'_>) -> Result<(), Error> {
        let depth = source.depth();
        self.open_at(tag, depth, source)
    }

    fn open_at(
        &mut self,
        tag: &BytesStart<'_>,
        depth: usize,
        source: &mut Source<'_>,
    ) -> Result<(), Error> {
        let name = tag.name().into_inner();
        // A colon with no prefix before it makes no name (Namespaces in XML 1.0, section 4), so nothing of ours.
        let local = match name.bytes().position(|b| b == b':') {
            Some(colon) if colon > 0 => name.get(colon + 1..).unwrap_or_default(),
            _ => name,
        };
        match self.place {
            Place::Point { .. } => self.open_in_point(local, depth, source),
            Place::Skipped { .. } => {}
            Place::Structure => self.open_structure(local, tag, depth, source),
            Place::Outside => self.open_root(local, tag, source)?,
        }
        Ok(())
    }

    fn open_root(
        &mut self,
        local: &str,
        tag: &BytesStart<'_>,
        source: &mut Source<'_>,
    ) -> Result<(), Error> {
        let line = source.line();
        if self.roots == 0 {
            if local.eq_ignore_ascii_case("html") {
                return Err(Error::Html);
            }
            if !local.eq_ignore_ascii_case("gpx") {
                return Err(Error::OtherXml {
                    root: excerpt(local, 40),
                    line,
                });
            }
            for attribute in tag.attributes().take(64).flatten() {
                match attribute.key.local_name().into_inner() {
                    "version" if self.version.is_none() => {
                        self.version = Some(excerpt(&attribute.value, 16));
                    }
                    "creator" if self.creator.is_none() => {
                        self.creator = device(&attribute.value);
                    }
                    _ => {}
                }
            }
        } else if self.roots == 1 {
            self.defects.push(Defect::at(
                line,
                "another document follows in the same file; its fixes are read too",
            ));
        }
        self.roots += 1;
        self.place = Place::Structure;
        self.collector.begin_segment();
        Ok(())
    }

    fn open_structure(
        &mut self,
        local: &str,
        tag: &BytesStart<'_>,
        depth: usize,
        source: &mut Source<'_>,
    ) {
        match local {
            "trkpt" => {
                self.point = Some(Point::open(tag, source.line()));
                self.place = Place::Point { depth };
            }
            "trk" => {
                self.tracks += 1;
                self.in_track = true;
                self.collector.begin_segment();
            }
            "trkseg" => self.collector.begin_segment(),
            "metadata" => self.in_track = false,
            "name" => {
                let target = if self.in_track {
                    Target::TrackTitle
                } else {
                    Target::Title
                };
                self.begin(target, depth);
            }
            "src" if self.in_track => self.begin(Target::TrackSource, depth),
            "rte" => {
                self.routes += 1;
                self.place = Place::Skipped { depth };
            }
            "wpt" => {
                self.waypoints += 1;
                self.place = Place::Skipped { depth };
            }
            "extensions" | "author" | "copyright" | "link" => self.place = Place::Skipped { depth },
            // Whatever else stands around points is looked into, so that no point is lost.
            _ => {}
        }
    }

    fn open_in_point(&mut self, local: &str, depth: usize, source: &mut Source<'_>) {
        if local == "trkpt" {
            self.collector.set_aside(Reason::Nested, source.line());
        } else if local == "extensions" && self.extensions.is_none() {
            self.extensions = Some(depth);
        } else {
            let extension = self.extensions.is_some();
            let child = matches!(self.place, Place::Point { depth: at } if at + 1 == depth);
            if (child || extension)
                && let Some(element) = element(local, extension)
            {
                self.begin(Target::Child { element, extension }, depth);
            }
        }
    }

    fn begin(&mut self, target: Target, depth: usize) {
        self.field = Some((target, depth));
        self.text.clear();
    }

    fn text(&mut self, part: &str) {
        if self.field.is_some() && self.text.len() + part.len() <= FIELD {
            self.text.push_str(part);
        } else if let Some((Target::Child { .. }, _)) = self.field {
            // Too long to be a value, and not worth keeping: spoilt, so that it is counted as such.
            self.text.clear();
            self.text.push('\u{fffd}');
        }
    }

    /// Closes the element that was opened at `depth`.
    fn close(&mut self, depth: usize) {
        if let Some((target, at)) = self.field
            && at == depth
        {
            self.field = None;
            self.finish_field(target);
        }
        if self.extensions == Some(depth) {
            self.extensions = None;
        }
        match self.place {
            Place::Point { depth: at } if at == depth => {
                self.place = Place::Structure;
                self.closed.extend(self.point.take().map(Point::close));
            }
            Place::Skipped { depth: at } if at == depth => self.place = Place::Structure,
            Place::Structure if depth == 1 => self.place = Place::Outside,
            _ => {}
        }
    }

    fn finish_field(&mut self, target: Target) {
        match target {
            Target::Child { element, extension } => {
                if let Some(point) = &mut self.point {
                    point.set(element, &self.text, extension);
                }
            }
            Target::TrackSource => {
                if self.track_source.is_none() {
                    self.track_source = device(&self.text);
                }
            }
            Target::Title | Target::TrackTitle => {
                let words: Vec<&str> = self.text.split_whitespace().collect();
                let title = excerpt(&words.join(" "), FIELD);
                let slot = if target == Target::Title {
                    &mut self.title
                } else {
                    &mut self.track_title
                };
                if slot.is_none() && !title.is_empty() {
                    *slot = Some(title);
                }
            }
        }
    }

    /// Keeps what was read before the damage and counts the points behind it.
    fn damage(
        &mut self,
        text: &str,
        line: u64,
        offset: usize,
        message: String,
    ) -> Result<(), Error> {
        if let Some(point) = self.point.take() {
            self.collector.set_aside(Reason::CutOff, point.line());
        }
        if self.collector.met() == 0 {
            return Err(Error::Damaged { line, message });
        }
        let rest = text.get(offset..).unwrap_or_default();
        self.collector
            .set_aside_many(Reason::AfterDamage, points(rest), line);
        self.defects.push(Defect::at(
            line,
            format!("the file is damaged here: {message}; what came before was read"),
        ));
        Ok(())
    }

    fn finish(mut self) -> Result<Trace, Error> {
        if self.collector.met() == 0 {
            return Err(if self.tracks > 0 {
                Error::NoFixes
            } else {
                Error::NoTrack {
                    routes: self.routes,
                    waypoints: self.waypoints,
                }
            });
        }
        if let Some(ignored) = routes_and_waypoints(self.routes, self.waypoints) {
            self.defects.push(Defect::new(format!(
                "{ignored} ignored: they carry no motion"
            )));
        }
        let mut collected = self.collector.finish()?;
        if collected.fixes.is_empty() {
            return Err(Error::NothingUsable {
                time: None,
                set_aside: collected.set_aside,
            });
        }
        self.defects.append(&mut collected.defects);
        Ok(Trace {
            fixes: collected.fixes,
            clock: collected.clock,
            offset: collected.offset,
            format: Format::Gpx {
                version: self.version,
            },
            title: self.title.or(self.track_title),
            device: self.track_source.or(self.creator),
            set_aside: collected.set_aside,
            defects: self.defects,
        })
    }
}

/// The name of a device; `None` where nothing is said, or that repledger made the file, which records nothing.
fn device(name: &str) -> Option<String> {
    let words: Vec<&str> = name.split_whitespace().collect();
    let name = excerpt(&words.join(" "), limits::DEVICE_NAME_CHARS);
    (!name.is_empty() && name != OURS).then_some(name)
}

/// What repledger writes as its own name into what it makes.
const OURS: &str = "repledger";

/// Track points that start in a stretch of text, as far as can be told without reading it as XML.
fn points(text: &str) -> usize {
    /// Longest prefix of a name that is looked through for its tag.
    const PREFIX: usize = 64;
    let bytes = text.as_bytes();
    text.match_indices("trkpt")
        .filter(|(at, name)| {
            let before = bytes
                .get(at.saturating_sub(PREFIX)..*at)
                .unwrap_or_default();
            // `<trkpt` or `<prefix:trkpt`; an end tag has its slash behind the bracket.
            let opened = match before.last() {
                Some(b'<') => true,
                Some(b':') => before
                    .iter()
                    .rev()
                    .find(|b| matches!(**b, b'<' | b'/' | b'>') || b.is_ascii_whitespace())
                    .is_some_and(|b| *b == b'<'),
                _ => false,
            };
            let ended = bytes
                .get(at + name.len())
                .is_some_and(|b| b.is_ascii_whitespace() || *b == b'>' || *b == b'/');
            opened && ended
        })
        .count()
}

#[cfg(test)]
mod tests {
    use super::{By, points, read_in_two};

    /// A document with all that may make the points of its second half mean something else than they seem to.
    const ODD: &str = r#"<?xml version="1.0"?>
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

    #[test]
    fn points_behind_damage_are_counted_by_their_start_tags() {
        assert_eq!(
            points("<trkpt lat='1' lon='2'/></trkpt><g:trkpt\n></g:trkpt>"),
            2
        );
        assert_eq!(points("trkpt <trkpts> a:trkpt <trkpt"), 0);
    }
}
