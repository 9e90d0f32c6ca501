//! WAV: what every player reads, at eight bits and so few samples that a long session stays small.

use super::Track;
use super::tone::Sound;

/// Samples a second, of which the most are taken that keep the file small. The beeps need 1,800.
const RATES_HZ: [u32; 3] = [8_000, 4_000, 2_000];
/// What is small, bytes.
const SMALL: f64 = 9.8e6;

/// The track as a WAV file of one channel: linear PCM of eight bits.
///
/// ## References
/// IBM and Microsoft (1991), Multimedia Programming Interface and Data Specifications 1.0, "Waveform Audio File Format".
#[must_use]
pub fn wav(track: &Track) -> Vec<u8> {
    let fits = |rate: &u32| track.total_s * f64::from(*rate) < SMALL;
    let rate_hz = RATES_HZ.into_iter().find(fits).unwrap_or(2_000);
    let mut sound = Sound::new(track, rate_hz);
    let count = u32::try_from(sound.samples()).unwrap_or(u32::MAX - 64);
    let padded = count + count % 2;
    let mut out = Vec::with_capacity(padded as usize + 44);
    out.extend(b"RIFF");
    out.extend((36 + padded).to_le_bytes());
    out.extend(b"WAVEfmt ");
    out.extend(16_u32.to_le_bytes());
    // Linear PCM, one channel.
    out.extend(1_u16.to_le_bytes());
    out.extend(1_u16.to_le_bytes());
    out.extend(rate_hz.to_le_bytes());
    // Bytes a second and a sample.
    out.extend(rate_hz.to_le_bytes());
    out.extend(1_u16.to_le_bytes());
    out.extend(8_u16.to_le_bytes());
    out.extend(b"data");
    out.extend(count.to_le_bytes());
    loop {
        let stretch = sound.stretch(4096);
        if stretch.is_empty() {
            break;
        }
        // Eight bits are written without a sign: silence is 128.
        out.extend(
            stretch
                .iter()
                .map(|v| (128.0 + 127.0 * v).round().clamp(0.0, 255.0) as u8),
        );
    }
    if count % 2 == 1 {
        out.push(128);
    }
    out
}
