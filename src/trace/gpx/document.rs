//! Takes in a GPX document event by event: what stands where, and what becomes of the points.

use quick_xml::events::{BytesStart, Event};

use super::element::{Closed, Element, FIELD, Point, element};
use super::scan;
use crate::limits;
use crate::trace::collect::Collector;
use crate::trace::defect::Reason;
use crate::trace::error::{excerpt, routes_and_waypoints};
use crate::trace::xml::{Source, Stop, character};
use crate::trace::{Defect, Error, Format, Trace};

/// Bytes that a point takes at least where it has a time and an extension; for how much room to make.
pub(super) const POINT: usize = 224;

/// How points are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum By {
    /// Ordinary ones by their bytes.
    Bytes,
    /// All by the events of an XML reader.
    Events,
}

/// Where a reading halts.
pub(super) enum Halt {
    /// A point ends at the mark.
    Mark,
    /// The document ends.
    End,
    /// Something stops it.
    Stop(Stop),
}

/// Whether a document type is that of a web page.
fn is_html(name: &str) -> bool {
    name.get(..4)
        .is_some_and(|start| start.eq_ignore_ascii_case("html"))
}

/// Where in the document the reading stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// Before the root or behind it.
    Outside,
    /// Inside the root, the metadata, a track or a segment.
    Structure,
    /// Inside an element whose content is not read, which is closed at this depth.
    Skipped { depth: usize },
    /// Inside a track point, opened at this depth.
    Point { depth: usize },
}

/// A document as far as it was read.
pub(super) struct Document {
    pub(super) collector: Collector,
    pub(super) place: Place,
    point: Option<Point>,
    /// Points that were read to their end and are not settled yet.
    pub(super) closed: Vec<Closed>,
    /// Depth of the `extensions` of the point, while inside.
    extensions: Option<usize>,
    /// The field whose text is being read, and its depth.
    pub(super) field: Option<(Target, usize)>,
    text: String,
    /// Whether ordinary points are read by their bytes, and whether a point has just ended, behind which others may follow.
    by: By,
    pub(super) after_point: bool,
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
    pub(super) defects: Vec<Defect>,
}

/// Where the text of a field goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Target {
    Title,
    TrackTitle,
    TrackSource,
    Child { element: Element, extension: bool },
}

impl Document {
    pub(super) fn new(bytes: usize, by: By) -> Self {
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
    pub(super) fn read(&mut self, source: &mut Source<'_>, mark: usize) -> Result<Halt, Error> {
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
    pub(super) fn is_between_points(&mut self) -> bool {
        std::mem::take(&mut self.after_point)
            && self.by == By::Bytes
            && self.place == Place::Structure
            && self.field.is_none()
    }

    pub(super) fn take(&mut self, event: &Event<'_>, source: &mut Source<'_>) -> Result<(), Error> {
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

    pub(super) fn settle(&mut self, point: Closed) {
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
    pub(super) fn damage(
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

    pub(super) fn finish(mut self) -> Result<Trace, Error> {
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
