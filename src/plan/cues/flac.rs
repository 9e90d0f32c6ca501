//! FLAC: lossless, and nothing at all where there is silence.
//!
//! A sound track is silence for the most part, so two of FLAC's ways to write a block are enough: one constant, or the
//! samples as they are. An encoder that looks for more would hold the whole session in memory and save a megabyte.

use super::Track;
use super::tone::Sound;

const RATE_HZ: u32 = 8_000;
/// Samples a block, a size that a frame names by one number.
const BLOCK: usize = 1024;
/// That number: 256 x 2^(n - 8).
const BLOCK_CODE: u8 = 0b1010;
/// 8 kHz.
const RATE_CODE: u8 = 0b0100;

/// The track as a FLAC file of one channel: 16 bits, 8,000 samples a second.
///
/// ## References
/// RFC 9639 (2024), Free Lossless Audio Codec.
#[must_use]
pub fn flac(track: &Track) -> Vec<u8> {
    let mut sound = Sound::new(track, RATE_HZ);
    let mut out = Vec::new();
    out.extend(b"fLaC");
    stream_info(sound.samples(), &mut out);
    for number in 0_u32.. {
        let stretch = sound.stretch(BLOCK);
        if stretch.is_empty() {
            break;
        }
        let samples: Vec<i16> = stretch
            .iter()
            .map(|v| (32_767.0 * v).round().clamp(-32_767.0, 32_767.0) as i16)
            .collect();
        frame(number, &samples, &mut out);
    }
    out
}

/// RFC 9639, 8.2. Sizes of frames and the checksum of the sound may be left out, as zero.
fn stream_info(samples: u64, out: &mut Vec<u8>) {
    // The last block of metadata, of 34 bytes.
    out.extend([0x80, 0, 0, 34]);
    out.extend((BLOCK as u16).to_be_bytes());
    out.extend((BLOCK as u16).to_be_bytes());
    out.extend([0; 6]);
    // 20 bits of rate, 3 of channels less one, 5 of bits less one, 36 of samples.
    let packed = u64::from(RATE_HZ) << 44 | 15 << 36 | samples & 0xf_ffff_ffff;
    out.extend(packed.to_be_bytes());
    out.extend([0; 16]);
}

/// RFC 9639, 9: header, one subframe, and a checksum after each.
fn frame(number: u32, samples: &[i16], out: &mut Vec<u8>) {
    let start = out.len();
    let whole = samples.len() == BLOCK;
    // Sync code, blocks of one size; a last short block says its size in two bytes; one channel of 16 bits.
    let size = if whole { BLOCK_CODE } else { 0b0111 };
    out.extend([0xff, 0xf8, size << 4 | RATE_CODE, 0b0000_1000]);
    coded(number, out);
    if !whole {
        let less_one = u16::try_from(samples.len().saturating_sub(1)).unwrap_or(u16::MAX);
        out.extend(less_one.to_be_bytes());
    }
    let header = crc8(out.get(start..).unwrap_or_default());
    out.push(header);
    match samples.first() {
        Some(first) if samples.iter().all(|sample| sample == first) => {
            out.push(0b0000_0000);
            out.extend(first.to_be_bytes());
        }
        _ => {
            out.push(0b0000_0010);
            out.extend(samples.iter().flat_map(|sample| sample.to_be_bytes()));
        }
    }
    let sum = crc16(out.get(start..).unwrap_or_default());
    out.extend(sum.to_be_bytes());
}

/// A number as UTF-8 writes a character, with up to 31 bits.
fn coded(number: u32, out: &mut Vec<u8>) {
    let more = match number {
        0..0x80 => return out.push(number as u8),
        0x80..0x800 => 1,
        0x800..0x1_0000 => 2,
        0x1_0000..0x20_0000 => 3,
        0x20_0000..0x400_0000 => 4,
        _ => 5,
    };
    let lead = !0_u8 << (7 - more);
    out.push(lead | (number >> (6 * more)) as u8);
    for shift in (0..more).rev() {
        out.push(0x80 | (number >> (6 * shift) & 0x3f) as u8);
    }
}

/// x^8 + x^2 + x + 1 (RFC 9639, 9.1.8).
fn crc8(bytes: &[u8]) -> u8 {
    bytes.iter().fold(0, |sum, byte| {
        (0..8).fold(sum ^ byte, |sum: u8, _| {
            sum << 1 ^ if sum & 0x80 == 0 { 0 } else { 0x07 }
        })
    })
}

/// x^16 + x^15 + x^2 + 1 (RFC 9639, 9.3).
fn crc16(bytes: &[u8]) -> u16 {
    bytes.iter().fold(0, |sum, byte| {
        (0..8).fold(sum ^ u16::from(*byte) << 8, |sum: u16, _| {
            sum << 1 ^ if sum & 0x8000 == 0 { 0 } else { 0x8005 }
        })
    })
}

#[cfg(test)]
mod tests {
    use super::{coded, crc8, crc16};

    #[test]
    fn checksums_are_those_of_the_published_check_string() {
        // Catalogue of parametrised CRC algorithms (G. Cook): CRC-8/SMBUS 0xf4 and CRC-16/UMTS 0xfee8 of "123456789", of
        // the same polynomials, not reflected, from 0.
        assert_eq!(crc8(b"123456789"), 0xf4);
        assert_eq!(crc16(b"123456789"), 0xfee8);
    }

    #[test]
    fn a_number_is_written_as_utf_8_writes_a_character() {
        for number in [0, 0x7f, 0x80, 0x7ff, 0x800, 0xffff, 0x1_0000, 0x10_ffff] {
            let mut out = Vec::new();
            coded(number, &mut out);
            let written = char::from_u32(number).map(|c| c.to_string().into_bytes());
            assert_eq!(Some(out), written, "{number:#x}");
        }
    }
}
