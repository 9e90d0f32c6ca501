//! How long reading takes, beside a bare pass over the XML events of the same bytes.
//!
//! `cargo bench --bench reading`

mod made;

use divan::counter::BytesCount;
use repledger::trace::{self, Options};

fn main() {
    divan::main();
}

fn read(bencher: divan::Bencher, text: &str) {
    let options = Options::default();
    bencher
        .counter(BytesCount::of_str(text))
        .bench(|| trace::read(divan::black_box(text.as_bytes()), &options));
}

#[divan::bench]
fn gpx_of_90_minutes(bencher: divan::Bencher) {
    read(bencher, &made::gpx());
}

#[divan::bench]
fn csv_of_90_minutes(bencher: divan::Bencher) {
    read(bencher, &made::csv());
}

#[divan::bench]
fn bare_xml_events(bencher: divan::Bencher) {
    let text = made::gpx();
    bencher
        .counter(BytesCount::of_str(&text))
        .bench(|| made::bare_pass(divan::black_box(&text)));
}
