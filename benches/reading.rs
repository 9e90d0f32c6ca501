//! How long reading takes, beside a bare pass over the XML events of the same bytes.
//!
//! `cargo bench --bench reading`; `-- --write FILE` writes the recording for other programs, at a pace that makes sprints.

mod made;

use divan::counter::BytesCount;
use repledger::trace::{self, Options};

fn main() -> std::io::Result<()> {
    let mut words = std::env::args().skip_while(|word| word != "--write");
    if let Some(path) = words.nth(1) {
        return std::fs::write(path, made::gpx_at(1.64));
    }
    divan::main();
    Ok(())
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
