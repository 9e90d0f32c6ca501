//! What a cue sounds like: beeps of one pitch each, so low that a file of few samples can hold them.

use std::f64::consts::TAU;

use super::{Cue, Kind, Track};

/// High, middle, low and lowest pitch, Hz. A track of 2,000 samples a second holds them all.
const HIGH: f64 = 880.0;
const MIDDLE: f64 = 660.0;
const LOW: f64 = 440.0;
const LOWEST: f64 = 330.0;
/// A beep swells and fades for so long that it does not click, s.
const EDGE_S: f64 = 0.004;
/// Of full scale.
const LOUDNESS: f64 = 0.8;

/// One beep of a cue.
#[derive(Clone, Copy, Debug)]
struct Beep {
    /// From the beginning of the cue, s.
    after_s: f64,
    length_s: f64,
    pitch_hz: f64,
}

const fn beep(after_s: f64, length_s: f64, pitch_hz: f64) -> Beep {
    Beep {
        after_s,
        length_s,
        pitch_hz,
    }
}

fn beeps(kind: Kind) -> &'static [Beep] {
    match kind {
        Kind::Start => const { &[beep(0.0, 0.6, HIGH)] },
        Kind::LastRep => {
            const {
                &[
                    beep(0.0, 0.15, HIGH),
                    beep(0.25, 0.15, HIGH),
                    beep(0.5, 0.4, HIGH),
                ]
            }
        }
        Kind::End => const { &[beep(0.0, 0.6, LOW)] },
        Kind::Count => const { &[beep(0.0, 0.1, MIDDLE)] },
        Kind::Half => const { &[beep(0.0, 0.2, MIDDLE), beep(0.3, 0.2, MIDDLE)] },
        Kind::BlockDone => const { &[beep(0.0, 0.3, LOW), beep(0.4, 0.8, LOWEST)] },
    }
}

/// The samples of a track, a stretch at a time, each between -1 and 1.
pub(super) struct Sound<'a> {
    cues: &'a [Cue],
    rate_hz: u32,
    /// Index of the next sample.
    next: u64,
    samples: u64,
}

impl<'a> Sound<'a> {
    pub(crate) fn new(track: &'a Track, rate_hz: u32) -> Self {
        Self {
            cues: &track.cues,
            rate_hz,
            next: 0,
            samples: (track.total_s.max(0.0) * f64::from(rate_hz)).ceil() as u64,
        }
    }

    pub(crate) fn samples(&self) -> u64 {
        self.samples
    }

    /// The next samples, at most so many; none at the end. A cue that another one cuts off is not heard to its end.
    pub(crate) fn stretch(&mut self, most: usize) -> Vec<f64> {
        let left = usize::try_from(self.samples - self.next).unwrap_or(usize::MAX);
        let count = most.min(left);
        let mut out = vec![0.0; count];
        let rate_hz = f64::from(self.rate_hz);
        let (from_s, to_s) = (
            self.next as f64 / rate_hz,
            (self.next + count as u64) as f64 / rate_hz,
        );
        // No cue is longer than two seconds.
        let first = self.cues.partition_point(|cue| cue.time_s < from_s - 2.0);
        let cues = self.cues.get(first..).unwrap_or_default();
        for (index, cue) in cues.iter().enumerate() {
            if cue.time_s >= to_s {
                break;
            }
            let cut_s = cues
                .get(index + 1)
                .map_or(f64::INFINITY, |next| next.time_s - cue.time_s);
            for (at, sample) in out.iter_mut().enumerate() {
                let time_s = (self.next + at as u64) as f64 / rate_hz - cue.time_s;
                if (0.0..cut_s).contains(&time_s) {
                    *sample += sound(cue.kind, time_s);
                }
            }
        }
        self.next += count as u64;
        out
    }
}

fn sound(kind: Kind, time_s: f64) -> f64 {
    beeps(kind)
        .iter()
        .map(|beep| {
            let within_s = time_s - beep.after_s;
            let left_s = beep.length_s - within_s;
            if within_s < 0.0 || left_s < 0.0 {
                return 0.0;
            }
            let edge = (within_s.min(left_s) / EDGE_S).min(1.0);
            LOUDNESS * edge * (TAU * beep.pitch_hz * within_s).sin()
        })
        .sum()
}
