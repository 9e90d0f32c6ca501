//! Unpacks gzip, within a bound.

use std::borrow::Cow;
use std::io::Read;

use flate2::read::MultiGzDecoder;

use super::{Defect, Error};
use crate::limits::{EXPANSION, RECORDING_BYTES, SMALL_EXPANSION_BYTES};

const MAGIC: [u8; 2] = [0x1f, 0x8b];

/// The bytes as they are, or unpacked where they are gzip (RFC 1952, one member or several).
///
/// A member that breaks off keeps what came before, with a defect.
pub(super) fn unpack<'a>(
    bytes: &'a [u8],
    defects: &mut Vec<Defect>,
) -> Result<Cow<'a, [u8]>, Error> {
    let in_proportion = EXPANSION * bytes.len() as u64;
    let limit = in_proportion.clamp(SMALL_EXPANSION_BYTES, RECORDING_BYTES);
    unpack_within(bytes, limit, defects)
}

fn unpack_within<'a>(
    bytes: &'a [u8],
    limit: u64,
    defects: &mut Vec<Defect>,
) -> Result<Cow<'a, [u8]>, Error> {
    if !bytes.starts_with(&MAGIC) {
        return Ok(Cow::Borrowed(bytes));
    }
    let mut out = Vec::new();
    let outcome = MultiGzDecoder::new(bytes)
        .take(limit + 1)
        .read_to_end(&mut out);
    if out.len() as u64 > limit {
        return Err(Error::TooLarge { limit });
    }
    if let Err(error) = outcome {
        if out.is_empty() {
            return Err(Error::Gzip {
                message: error.to_string(),
            });
        }
        defects.push(Defect::new(format!(
            "the gzip file is damaged ({error}); what came before the damage was read"
        )));
    }
    if out.starts_with(&MAGIC) {
        return Err(Error::Binary {
            looks_like: "a gzip file inside a gzip file",
        });
    }
    Ok(Cow::Owned(out))
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use flate2::Compression;
    use flate2::write::GzEncoder;

    use super::*;

    fn pack(bytes: &[u8]) -> Vec<u8> {
        let mut encoder = GzEncoder::new(Vec::new(), Compression::fast());
        encoder.write_all(bytes).expect("writing to memory");
        encoder.finish().expect("writing to memory")
    }

    #[test]
    fn several_members_are_one_file() {
        let mut packed = pack(b"time,");
        packed.extend(pack(b"speed"));
        let mut defects = Vec::new();
        assert_eq!(
            *unpack(&packed, &mut defects).expect("gzip"),
            *b"time,speed"
        );
        assert!(defects.is_empty());
    }

    #[test]
    fn expansion_is_bounded() {
        let packed = pack(&vec![0; 1 << 20]);
        // Ten times and more; by how much depends on the library that packs.
        assert!(packed.len() < 100_000);
        let mut defects = Vec::new();
        assert_eq!(
            unpack_within(&packed, (1 << 20) - 1, &mut defects),
            Err(Error::TooLarge {
                limit: (1 << 20) - 1
            })
        );
        assert!(unpack_within(&packed, 1 << 20, &mut defects).is_ok());
    }

    #[test]
    fn what_came_before_the_damage_is_kept() {
        let text: Vec<u8> = (0..20_000u32)
            .flat_map(|i| format!("{i},{}\n", i.wrapping_mul(2_654_435_761)).into_bytes())
            .collect();
        let packed = pack(&text);
        let mut defects = Vec::new();
        let out = unpack(&packed[..packed.len() / 2], &mut defects).expect("the first half");
        assert!(text.starts_with(&out) && out.len() > 1000);
        assert_eq!(defects.len(), 1);
    }

    #[test]
    fn a_bare_header_is_an_error() {
        let mut defects = Vec::new();
        assert!(matches!(
            unpack(&MAGIC, &mut defects),
            Err(Error::Gzip { .. })
        ));
    }
}
