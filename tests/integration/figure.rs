//! The pictures: what must be seen in them is asserted in the SVG; the PNGs are for looking at.

mod scenes;

use repledger::figure;

use scenes::Made;

/// The picture of that name, if the session has one.
fn picture(made: &Made, name: &str) -> Option<String> {
    figure::pictures(&made.scene())
        .expect("the charts can be drawn")
        .into_iter()
        .find(|p| p.name == name)
        .map(|p| p.svg)
}

#[test]
fn the_speed_chart_names_what_it_shows() {
    let svg = picture(&scenes::session(1200.0, 10.0), "speed").expect("a speed chart");
    for word in ["Speed over time", "speed, m/s", "receiver 10 Hz", "band: 95 % interval", "sprint 7.0", "high speed 5.5"] {
        assert!(svg.contains(word), "{word}");
    }
}
