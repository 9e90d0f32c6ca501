//! The pictures: what must be seen in them is asserted in the SVG, and where their text lies is measured.

mod names;
mod scenes;
mod simulated;

use repledger::comparison::{Side, compare};
use repledger::efforts;
use repledger::figure::{self, Sheet};
use repledger::pitch::{Pitch, Size, Source};
use repledger::simulation::Kind;
use resvg::usvg::{Group, Node, TextChunk};

use crate::support::sessions::reviewed;
use scenes::Made;

/// The picture of that name, if the session has one.
fn picture(made: &Made, name: &str) -> Option<String> {
    figure::pictures(&made.scene())
        .expect("the charts can be drawn")
        .into_iter()
        .find(|p| p.name == name)
        .map(|p| p.svg.into_text())
}

/// A text with its box: left, top, right, bottom.
type Boxed = (String, [f32; 4]);

/// The texts of a picture where the embedded font puts them.
fn texts(group: &Group, found: &mut Vec<Boxed>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => texts(inner, found),
            Node::Text(text) => {
                let b = text.abs_bounding_box();
                let words = text.chunks().iter().map(TextChunk::text).collect();
                found.push((words, [b.left(), b.top(), b.right(), b.bottom()]));
            }
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}

/// No text lies over another one or leaves the page.
pub fn assert_readable(name: &str, svg: &str) {
    let tree = figure::tree(svg).expect("valid SVG");
    let mut found = Vec::new();
    texts(tree.root(), &mut found);
    assert!(found.len() > 5, "{name}: only {} texts", found.len());
    // Boxes reach from the font's ascender to its descender, more than letters do: lines may touch, not cross.
    let slack = 2.0;
    for (i, (a, [left, top, right, bottom])) in found.iter().enumerate() {
        assert!(
            0.0 <= *left
                && *right <= tree.size().width()
                && 0.0 <= *top
                && *bottom <= tree.size().height(),
            "{name}: {a:?} leaves the page"
        );
        for (b, other) in &found[i + 1..] {
            let crossed = left + slack < other[2]
                && other[0] + slack < *right
                && top + slack < other[3]
                && other[1] + slack < *bottom;
            assert!(!crossed, "{name}: {a:?} lies over {b:?}");
        }
    }
}

/// Sessions of 3 min to 24 h, with and without a plan, with and without a gap.
fn sessions() -> Vec<(String, Made)> {
    let mut list = Vec::new();
    for minutes in [3.0, 10.0, 20.0, 26.0, 60.0, 90.0, 120.0, 180.0] {
        let made = scenes::session(minutes * 60.0, 10.0);
        list.push((
            format!("{minutes} min without a plan"),
            made.clone().without_plan(),
        ));
        let (start_s, end_s) = (minutes * 24.0, minutes * 27.0);
        list.push((
            format!("{minutes} min with a gap"),
            made.clone().with_gap(start_s, end_s),
        ));
        list.push((format!("{minutes} min"), made));
    }
    list
}

#[test]
fn no_text_lies_over_another_at_any_length() {
    for (session, made) in sessions() {
        for sheet in [Sheet::WIDE, Sheet::NARROW] {
            let pictures = figure::pictures(&made.scene().on(sheet));
            for picture in pictures.expect("the charts can be drawn") {
                let name = format!("{} of {session}, {sheet:?}", picture.name);
                assert_readable(&name, &picture.svg);
            }
        }
    }
}

#[test]
fn a_narrow_picture_is_laid_out_for_a_phone() {
    let mut made = scenes::session(3600.0, 10.0);
    let long = "the whole length of the pitch and back again along the touchline ".repeat(6);
    for block in &mut made.review.as_mut().expect("a review").blocks {
        block.name = Some(long.clone());
    }
    let scene = made.scene().on(Sheet::NARROW);
    let pictures = figure::pictures(&scene).expect("the charts can be drawn");
    let wide = figure::pictures(&made.scene()).expect("the charts can be drawn");
    assert_eq!(pictures.len(), wide.len());
    for picture in pictures.iter().chain(&wide) {
        assert_readable(picture.name, &picture.svg);
        let sizes = picture.svg.split("font-size=\"").skip(1);
        for size in sizes.filter_map(|rest| rest.split('"').next()?.parse::<f64>().ok()) {
            assert!(size >= 12.0, "{}: {size} px", picture.name);
        }
    }
    for picture in &pictures {
        assert!(
            picture.svg.contains("viewBox=\"0 0 360 "),
            "{}",
            picture.name
        );
    }
}

/// A plan that begins before the recording, or goes on long after it, presses nothing into a corner.
#[test]
fn the_timeline_is_that_of_the_recording_whatever_the_plan() {
    let mut made = scenes::session(1200.0, 10.0);
    let blocks = &mut made.review.as_mut().expect("a review").blocks;
    // All but the last block, which is found near the start: its plan lies an hour before the recording.
    let last = blocks.len() - 1;
    for block in &mut blocks[..last] {
        for rep in block.sets.iter_mut().flat_map(|set| &mut set.reps) {
            rep.start_s = None;
            rep.end_s = None;
        }
    }
    for (k, rep) in (0..).zip(blocks[last].sets.iter_mut().flat_map(|set| &mut set.reps)) {
        rep.start_s = Some(20.0 + 30.0 * f64::from(k));
        rep.end_s = Some(30.0 + 30.0 * f64::from(k));
    }
    for sheet in [Sheet::WIDE, Sheet::NARROW] {
        let svg = figure::timeline(&made.scene().on(sheet))
            .expect("drawn")
            .expect("a timeline");
        let tree = figure::tree(&svg).expect("valid SVG");
        let mut found = Vec::new();
        texts(tree.root(), &mut found);
        let said: String = found
            .iter()
            .map(|(text, _)| text.as_str())
            .collect::<Vec<_>>()
            .join(" ");
        assert!(said.contains("outside the recording"), "{said}");
        assert_readable("timeline", &svg);
    }
}

/// A pitch laid askew under a session.
fn pitch() -> Pitch {
    Pitch {
        size: Size {
            length_m: 100.0,
            width_m: 64.0,
        },
        centre_m: [4.0, -7.0],
        turn_rad: 0.6,
        centre_sd_m: 1.2,
        turn_sd_rad: 0.01,
        source: Source::Kept("a pitch with a long name by the river".to_owned()),
    }
}

/// Over 10 simulated sessions, with `LONG=1` over 20, from 3 minutes to 3 hours, with and without plan and pitch.
#[test]
fn no_text_lies_over_another_in_simulated_sessions() {
    let pitch = pitch();
    let sessions = simulated::sessions();
    let mut drawn = std::collections::BTreeMap::new();
    for (name, session) in &sessions {
        let scene = figure::Scene::of(session);
        let mut on_a_pitch = scene;
        on_a_pitch.pitch = Some(&pitch);
        let mut alone = scene;
        (alone.plan, alone.review, alone.fades) = (None, None, &[]);
        for (what, scene) in [("", scene), (" on a pitch", on_a_pitch), (" alone", alone)] {
            for picture in figure::pictures(&scene).expect("the charts can be drawn") {
                assert_readable(&format!("{} of {name}{what}", picture.name), &picture.svg);
                *drawn.entry(picture.name).or_insert(0) += 1;
            }
        }
    }
    for (name, least) in [
        ("speed", 60),
        ("heatmap", 50),
        ("heatmap_blocks", 25),
        ("sprints", 25),
        ("timeline", 40),
        ("reps", 35),
        ("fade", 20),
    ] {
        let count = drawn.get(name).copied().unwrap_or(0);
        // Of 20 sessions.
        assert!(
            count >= least * sessions.len() / 20,
            "{name} was drawn {count} times: {drawn:?}"
        );
    }
}

#[test]
fn the_heat_map_lies_on_the_pitch_where_it_is_known() {
    let made = scenes::session(1200.0, 10.0);
    let pitch = pitch();
    let mut scene = made.scene();
    scene.pitch = Some(&pitch);
    let svg = figure::heatmap(&scene).expect("drawn").expect("a heat map");
    for word in [
        "along the touchlines from the centre mark, m",
        "across the pitch, m",
        "Pitch of 100 × 64 m, kept as a pitch with a long name by the river, its place to ±2.4 m.",
        // The touchlines point 34.4 degrees north of east; north turns as far clockwise from the page's up.
        "rotate(34.4)",
    ] {
        assert!(svg.contains(word), "{word}");
    }
    scene.north_up = false;
    let svg = figure::heatmap(&scene).expect("drawn").expect("a heat map");
    assert!(!svg.contains("north"));
}

#[test]
fn each_block_has_its_own_heat_map_on_one_scale() {
    let made = scenes::session(3600.0, 10.0);
    let svg = picture(&made, "heatmap_blocks").expect("maps of blocks");
    let blocks = made.review.as_ref().expect("a review").blocks.len();
    let images = svg.matches("<image class=\"light\"").count();
    assert_eq!(images, blocks);
    assert_eq!(svg.matches("time spent, s/m²").count(), 1);
    assert!(svg.contains("2 speed: edge of the area to halfway"));
}

#[test]
fn each_sprint_is_an_arrow_with_its_numbers() {
    let made = scenes::session(3600.0, 10.0);
    let svg = picture(&made, "sprints").expect("a sprint map");
    let count = made
        .efforts
        .list
        .iter()
        .filter(|e| e.kind == efforts::Kind::Sprint)
        .count();
    assert!(count > 1);
    let peak = made.efforts.list[0].peak_speed_m_s;
    let first = format!(
        "{:.2} m/s ({:.2} to {:.2}), ",
        peak.value, peak.low, peak.high
    );
    for word in [
        format!("Where the {count} sprints were run").as_str(),
        "sprints from 7.0 m/s, peaks with 95 % intervals",
        "Each place may be off by 2.5 m (95 %)",
        first.as_str(),
    ] {
        assert!(svg.contains(word), "{word}");
    }
    let mut none = made;
    none.efforts.list.clear();
    assert!(picture(&none, "sprints").is_none());
}

#[test]
fn a_fade_is_told_in_words_and_only_where_it_is_clear() {
    let made = scenes::session(3600.0, 10.0);
    let svg = picture(&made, "fade").expect("fades");
    for word in [
        "Peak speed over the reps: slower in",
        "slower from rep to rep: −0.12 m/s a rep (−0.17 to −0.08)",
        "no clear fade: −0.03 m/s a rep (−0.09 to +0.03)",
        "peak speed, m/s",
        "receiver 10 Hz",
    ] {
        assert!(svg.contains(word), "{word}");
    }
    let mut none = made;
    none.fades.clear();
    assert!(picture(&none, "fade").is_none());
}

/// The colours of a document, in order.
fn colours(svg: &str) -> Vec<String> {
    svg.split("=\"#")
        .skip(1)
        .map(|rest| rest.chars().take(6).collect::<String>().to_lowercase())
        .collect()
}

#[test]
fn every_picture_is_there_light_and_dark() {
    for picture in figure::pictures(&scenes::session(1200.0, 10.0).scene()).expect("drawn") {
        assert!(picture.svg.contains("@media (prefers-color-scheme:dark)"));
        let light = picture.svg.settled(figure::Theme::Light);
        let dark = picture.svg.settled(figure::Theme::Dark);
        for svg in [&light, &dark] {
            assert!(
                !svg.contains("@media") && !svg.contains("display=\"none\""),
                "{}",
                picture.name
            );
        }
        let paper = "#fdfcfa";
        assert!(
            light.contains(paper) && !dark.contains(paper),
            "{}",
            picture.name
        );
        // Each colour has a counterpart: none was written past the writer that knows them.
        let (on_paper, in_the_dark) = (colours(&light), colours(&dark));
        assert_eq!(on_paper.len(), in_the_dark.len(), "{}", picture.name);
        for (on_paper, in_the_dark) in on_paper.iter().zip(in_the_dark) {
            assert_ne!(*on_paper, in_the_dark, "{}", picture.name);
        }
        let file = figure::png(&dark, 0.25).expect("a PNG");
        assert!(!file.is_empty());
    }
}

#[test]
fn a_whole_day_can_be_drawn() {
    let made = scenes::session(86_400.0, 10.0).without_plan();
    let svg = picture(&made, "speed").expect("a speed chart");
    assert_readable("speed of a day", &svg);
    assert!(svg.len() < 1_500_000, "{}", svg.len());
}

#[test]
fn the_speed_chart_names_what_it_shows() {
    let svg = picture(&scenes::session(1200.0, 10.0), "speed").expect("a speed chart");
    for word in [
        "Speed over time",
        "speed, m/s",
        "time from start, min",
        "receiver 10 Hz",
        "band: 95 % interval",
        "sprint 7.0",
        "high speed 5.5",
        "heart rate, beats/min",
        "1 warm-up",
    ] {
        assert!(svg.contains(word), "{word}");
    }
}

/// The x of all points of the lines that have the colour of measured speed, in the units of the panel.
fn line_xs(svg: &str) -> Vec<Vec<i64>> {
    svg.lines()
        .filter(|l| l.starts_with("<polyline") && l.contains("#0072B2"))
        .map(|l| {
            let points = l.split("points=\"").nth(1).expect("points");
            points
                .trim_end_matches(['"', '/', '>', ' '])
                .split(' ')
                .map(|p| p.split(',').next().expect("x").parse().expect("a number"))
                .collect()
        })
        .collect()
}

#[test]
fn nothing_is_drawn_across_a_gap() {
    let whole = scenes::session(600.0, 10.0).without_plan();
    let svg = picture(&whole, "speed").expect("a speed chart");
    assert_eq!(line_xs(&svg).len(), 1);
    assert!(!svg.contains("gap: nothing recorded"));

    let cut = whole.with_gap(200.0, 260.0);
    let svg = picture(&cut, "speed").expect("a speed chart");
    let lines = line_xs(&svg);
    assert_eq!(lines.len(), 2);
    let (end, start) = (lines[0].iter().max(), lines[1].iter().min());
    let (end, start) = (*end.expect("points"), *start.expect("points"));
    let width = *lines[1].iter().max().expect("points") as f64;
    let share = (start - end) as f64 / width;
    let open = 60.0 / cut.motion.samples.last().expect("samples").time_s;
    assert!(
        (share - open).abs() < 0.002,
        "60 s stay open: {share} of the width, not {open}"
    );
    assert!(svg.contains("gap: nothing recorded"));
}

#[test]
fn the_heat_map_carries_scale_and_direction() {
    let svg = picture(&scenes::session(1200.0, 10.0), "heatmap").expect("a heat map");
    for word in [
        "Where the time was spent",
        "time spent, s/m²",
        "east, m",
        "north, m",
        "10 m",
        "half of the time was spent inside",
        "receiver 10 Hz",
        "data:image/png;base64,",
        "@font-face",
    ] {
        assert!(svg.contains(word), "{word}");
    }
}

#[test]
fn the_axes_of_a_local_system_have_no_north() {
    let made = scenes::session(600.0, 10.0);
    let mut scene = made.scene();
    scene.north_up = false;
    let svg = figure::heatmap(&scene).expect("drawn").expect("a heat map");
    assert!(svg.contains("x, m") && !svg.contains("north"));
}

#[test]
fn the_timeline_names_each_block_and_what_became_of_it() {
    let made = scenes::session(3600.0, 10.0);
    let svg = picture(&made, "timeline").expect("a timeline");
    let review = made.review.as_ref().expect("a review");
    let counts = review.counts;
    let title = format!(
        "Planned and done: {} of {} reps done",
        counts.done, counts.planned
    );
    for word in [
        title.as_str(),
        "1 warm-up: two laps and leg swings",
        "2 speed: edge of the area to halfway, 5 × 40 m",
        "3 resistance: channel runs, 2 × 6 × 12 s",
        "8 done, 2 cut short, 2 missed",
        "not in the plan",
        "7.8 m/s",
        "rep missed",
        "time from start, h:min",
        "receiver 10 Hz",
    ] {
        assert!(svg.contains(word), "{word}");
    }
    // A grey bar for each planned rep, a blue one for each that was found, an orange one for the rest.
    let bars = |colour: &str| {
        svg.lines()
            .filter(|l| l.starts_with("<rect") && l.contains(&format!("fill=\"{colour}\"")))
            .count()
    };
    assert_eq!(bars("#B4B0A8"), counts.planned);
    assert_eq!(bars("#0072B2"), counts.planned - counts.missed);
    assert_eq!(bars("#D55E00"), 1);
}

#[test]
fn the_reps_of_a_set_start_together() {
    let made = scenes::session(3600.0, 10.0);
    let svg = picture(&made, "reps").expect("reps");
    for word in [
        "The reps of each set",
        "3 resistance: channel runs, set 2",
        "speed, m/s",
        "peak speed, m/s",
        "asked for 8.4",
        "bars: 95 % interval",
        "s from the start of the rep",
        "receiver 10 Hz",
    ] {
        assert!(svg.contains(word), "{word}");
    }
    // A set of five, all found: five lines from a second before the start, each to the same x.
    let first = svg.split("<g transform").nth(1).expect("the first panel");
    let starts: Vec<i64> = first
        .lines()
        .filter(|l| l.starts_with("<polyline") && !l.contains("#E3DFD8"))
        .filter_map(|l| l.split("points=\"").nth(1)?.split(',').next()?.parse().ok())
        .collect();
    assert_eq!(starts.len(), 5);
    assert!(starts.iter().all(|x| (0..30).contains(x)), "{starts:?}");
}

#[test]
fn without_a_plan_there_is_nothing_to_hold_against_it() {
    let made = scenes::session(1200.0, 10.0).without_plan();
    assert!(picture(&made, "timeline").is_none());
    assert!(picture(&made, "reps").is_none());
    let svg = picture(&made, "speed").expect("a speed chart");
    assert!(!svg.contains("block of the plan"));
}

#[test]
fn a_far_off_place_is_cropped_and_said() {
    let mut made = scenes::session(1200.0, 10.0);
    for sample in made.motion.samples.iter_mut().take(20) {
        sample.x_m += 4000.0;
    }
    let svg = picture(&made, "heatmap").expect("a heat map");
    assert!(
        svg.contains("99.8 % of the time shown"),
        "20 of 12,000 samples are out"
    );
}

#[test]
fn a_straight_road_still_has_room_for_its_scale() {
    let mut made = scenes::session(1200.0, 10.0);
    for sample in &mut made.motion.samples {
        sample.x_m = 0.0;
        sample.y_m = sample.time_s * 3.0;
    }
    let svg = picture(&made, "heatmap").expect("a heat map");
    assert_readable("heat map of a straight road", &svg);
    for sample in &mut made.motion.samples {
        std::mem::swap(&mut sample.x_m, &mut sample.y_m);
    }
    let svg = picture(&made, "heatmap").expect("a heat map");
    assert_readable("heat map of a road to the east", &svg);
    for sample in &mut made.motion.samples {
        sample.x_m = 1.0;
    }
    let svg = picture(&made, "heatmap").expect("a heat map");
    assert_readable("heat map of one spot", &svg);
    if let Some(sample) = made.motion.samples.last_mut() {
        sample.x_m = f64::MAX;
    }
    assert!(picture(&made, "heatmap").is_some(), "one sample is cropped");
}

#[test]
fn a_plan_of_many_blocks_can_be_drawn() {
    let mut made = scenes::session(1200.0, 10.0);
    if let (Some(plan), Some(review)) = (&mut made.plan, &mut made.review) {
        let (block, done) = (plan.blocks[1].clone(), review.blocks[1].clone());
        for index in 0..1000 {
            plan.blocks.push(block.clone());
            let mut missed = done.clone();
            missed.index = 5 + index;
            for rep in missed.sets.iter_mut().flat_map(|s| &mut s.reps) {
                (rep.start_s, rep.end_s) = (None, None);
            }
            review.blocks.push(missed);
        }
    }
    for picture in figure::pictures(&made.scene()).expect("the charts can be drawn") {
        assert_readable(picture.name, &picture.svg);
        assert!(figure::png(&picture.svg, 2.0).is_ok(), "{}", picture.name);
    }
}

#[test]
fn what_is_not_there_is_not_drawn() {
    let nothing = figure::pictures(&scenes::empty().scene()).expect("no charts, no error");
    assert!(nothing.is_empty());
    let mut blind = scenes::session(600.0, 10.0);
    blind.motion.has_position = false;
    assert!(picture(&blind, "heatmap").is_none());
    assert!(picture(&blind, "speed").is_some());
}

#[test]
fn degenerate_motions_are_drawn_without_a_panic() {
    let mut one = scenes::session(600.0, 10.0);
    one.motion.samples.truncate(1);
    one.motion.runs = std::iter::once(0..1).collect();
    let mut odd = scenes::session(600.0, 10.0);
    for (i, sample) in odd.motion.samples.iter_mut().enumerate() {
        if i % 3 == 0 {
            sample.speed_m_s = f64::NAN;
            sample.x_m = f64::INFINITY;
            sample.speed_sd_m_s = f64::NAN;
            sample.heart_rate_bpm = Some(f32::NAN);
        }
    }
    let mut wrong = scenes::session(600.0, 10.0);
    wrong.motion.runs.push(5..1_000_000);
    for made in [one, odd, wrong] {
        for picture in figure::pictures(&made.scene()).expect("the charts can be drawn") {
            figure::tree(&picture.svg).expect("valid SVG");
            assert!(!picture.svg.contains("NaN") && !picture.svg.contains("inf\""));
        }
    }
}

#[test]
fn names_from_outside_stay_text() {
    let made = scenes::session(600.0, 10.0);
    let mut scene = made.scene();
    scene.title = Some("</svg><script>&\u{0}");
    for picture in figure::pictures(&scene).expect("the charts can be drawn") {
        assert!(picture.svg.contains("&lt;/svg&gt;&lt;script&gt;&amp;"));
        figure::tree(&picture.svg).expect("valid SVG");
    }
}

#[test]
fn a_png_has_the_size_asked_for() {
    let svg = picture(&scenes::session(180.0, 10.0), "speed").expect("a speed chart");
    let file = figure::png(&svg, 0.5).expect("a PNG");
    assert_eq!(&file[..8], b"\x89PNG\r\n\x1a\n");
    // The width stands at bytes 16 to 19 of a PNG (PNG specification, third edition, 11.2.1).
    assert_eq!(file[16..20], 600u32.to_be_bytes());
    assert!(figure::png(&svg, 0.0).is_err());
    assert!(figure::png(&svg, f64::NAN).is_err());
    assert!(figure::png(&svg, 1e9).is_err());
    assert!(figure::png("no picture", 1.0).is_err());
}

/// Sessions beside each other: the second is the same evening shifted by so many metres east.
fn beside(shift_m: f64) -> Vec<figure::Picture> {
    let one = reviewed(7, Kind::Unit10);
    let mut two = one.clone();
    for sample in &mut two.motion.samples {
        sample.x_m += shift_m;
    }
    let sides = vec![Side::of("one.csv", &one), Side::of("two.csv", &two)];
    let named = [
        ("one.csv", &one),
        ("a name that goes on and on and on and on.csv", &two),
    ]
    .map(|(name, session)| figure::Named { name, session });
    let (pictures, notes) =
        figure::compared(&named, &compare(sides)).expect("the charts can be drawn");
    assert!(notes.is_empty(), "{notes:?}");
    pictures
}

#[test]
fn sessions_beside_each_other_can_be_read() {
    let pictures = beside(60.0);
    let names: Vec<_> = pictures.iter().map(|p| p.name).collect();
    assert_eq!(names, ["heatmaps", "difference", "drills"]);
    for picture in &pictures {
        assert_readable(picture.name, &picture.svg);
    }
}

#[test]
fn the_difference_says_when_there_is_none() {
    let told = |shift_m: f64| {
        let pictures = beside(shift_m);
        let difference = pictures.iter().find(|p| p.name == "difference");
        difference.is_some_and(|p| p.svg.contains("no clear difference"))
    };
    assert!(told(0.0));
    assert!(told(0.5), "half a metre is within the error of place");
    assert!(!told(60.0));
}
