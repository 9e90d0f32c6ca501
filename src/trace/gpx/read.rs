//! Reads GPX 1.0 and 1.1, and what resembles them.
//!
//! Elements are matched by local name, whatever their prefix, namespace and order, so that a file with a missing or wrong
//! namespace reads like any other. Damage ends the reading but not the recording: what stood before it is kept.

use memchr::memchr;
use quick_xml::events::{BytesStart, Event};

use super::element::{Element, Point, element};
use crate::trace::collect::Collector;
use crate::trace::defect::Reason;
use crate::trace::error::{excerpt, routes_and_waypoints};
use crate::trace::lines::Lines;
use crate::trace::xml::{Source, Stop, character};
use crate::trace::{Defect, Error, Format, Trace};

/// Longest text of a field that is looked at, bytes; none that means something comes near.
const FIELD: usize = 256;

/// Reads the text of a GPX file.
pub(in crate::trace) fn read(text: &str) -> Result<Trace, Error> {
    let mut source = Source::of(text);
    let mut document = Document::new(text.len());
    let stop = loop {
        let event = source.advance();
        match source.bounded(&event) {
            Ok(Event::Text(part)) => document.text(part),
            Ok(Event::Start(tag)) => document.open(tag, &mut source)?,
            Ok(Event::End(_)) => document.close(source.depth() + 1),
            Ok(Event::Empty(tag)) => document.empty(tag, &mut source)?,
            Ok(Event::CData(part)) => document.text(part),
            Ok(Event::GeneralRef(reference)) => match character(reference) {
                Some(c) => document.text(c.encode_utf8(&mut [0; 4])),
                // A reference to nothing spoils the value that it stands in.
                None => document.text("\u{fffd}"),
            },
            Ok(Event::DocType(name)) if is_html(name) => return Err(Error::Html),
            Ok(Event::Eof) => break None,
            Ok(_) => {}
            Err(stop) => break Some(stop),
        }
    };
    if let Some(at) = memchr(0, text.as_bytes()) {
        let line = Lines::of(text).at(at);
        document
            .defects
            .push(Defect::at(line, "the file holds zero bytes"));
    }
    match stop {
        None => {}
        Some(Stop::Declarations { line }) => return Err(Error::Declarations { line }),
        Some(Stop::Damage {
            line,
            offset,
            message,
        }) => document.damage(text, line, offset, message)?,
    }
    document.finish()
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
    /// Depth of the `extensions` of the point, while inside.
    extensions: Option<usize>,
    /// The field whose text is being read, and its depth.
    field: Option<(Target, usize)>,
    text: String,
    in_track: bool,
    roots: usize,
    version: Option<String>,
    title: Option<String>,
    track_title: Option<String>,
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
    Child { element: Element, extension: bool },
}

impl Document {
    fn new(bytes: usize) -> Self {
        Self {
            // A point with a time and an extension takes some 250 bytes.
            collector: Collector::with_capacity(bytes / 224),
            place: Place::Outside,
            point: None,
            extensions: None,
            field: None,
            text: String::new(),
            in_track: false,
            roots: 0,
            version: None,
            title: None,
            track_title: None,
            tracks: 0,
            routes: 0,
            waypoints: 0,
            defects: Vec::new(),
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
        let local = if name.starts_with(':') {
            name
        } else {
            tag.local_name().into_inner()
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
            self.version = tag
                .attributes()
                .take(64)
                .flatten()
                .find(|a| a.key.local_name().into_inner() == "version")
                .map(|a| excerpt(&a.value, 16));
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
                match self.point.take().map(Point::close) {
                    Some(Ok(candidate)) => self.collector.take(&candidate),
                    Some(Err((reason, line))) => self.collector.set_aside(reason, line),
                    None => {}
                }
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
        let mut collected = self.collector.finish();
        if collected.fixes.is_empty() {
            return Err(Error::NothingUsable {
                set_aside: collected.set_aside,
            });
        }
        self.defects.append(&mut collected.defects);
        Ok(Trace {
            fixes: collected.fixes,
            clock: collected.clock,
            format: Format::Gpx {
                version: self.version,
            },
            title: self.title.or(self.track_title),
            set_aside: collected.set_aside,
            defects: self.defects,
        })
    }
}

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
    use super::points;

    #[test]
    fn points_behind_damage_are_counted_by_their_start_tags() {
        assert_eq!(
            points("<trkpt lat='1' lon='2'/></trkpt><g:trkpt\n></g:trkpt>"),
            2
        );
        assert_eq!(points("trkpt <trkpts> a:trkpt <trkpt"), 0);
    }
}
