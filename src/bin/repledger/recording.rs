//! What a diary keeps beside the review of a recording: its bytes, hash and settings.

use std::io::{Read, Write};

use anyhow::bail;
use flate2::Compression;
use flate2::bufread::GzDecoder;
use flate2::write::GzEncoder;
use repledger::limits::{JOINED, RECORDING_BYTES};
use repledger::settings::{Origin, Resolved};
use sha2::{Digest, Sha256};

/// The hash of a recording, by its content unpacked.
pub fn hash(content: &[u8]) -> [u8; 32] {
    Sha256::digest(content).into()
}

/// The hash of recordings that were joined, by those of each in order of time; of one alone its own.
pub fn hash_of_all(hashes: &[[u8; 32]]) -> [u8; 32] {
    match hashes {
        [one] => *one,
        several => Sha256::digest(several.concat()).into(),
    }
}

/// A recording as it is kept: gzip.
pub fn packed(content: &[u8]) -> anyhow::Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(content)?;
    Ok(encoder.finish()?)
}

/// The files of a kept recording, unpacked: a gzip member each.
pub fn unpacked(mut gzip: &[u8]) -> anyhow::Result<Vec<Vec<u8>>> {
    let mut files = Vec::new();
    while !gzip.is_empty() && files.len() < JOINED {
        let mut bytes = Vec::new();
        GzDecoder::new(&mut gzip)
            .take(RECORDING_BYTES + 1)
            .read_to_end(&mut bytes)?;
        if bytes.len() as u64 > RECORDING_BYTES {
            bail!("it is larger than any recording");
        }
        files.push(bytes);
    }
    Ok(files)
}

/// The settings that a review hangs on and that differ from the defaults, a line each; in which unit it was read is no part of it.
pub fn changed(resolved: &Resolved) -> String {
    let lines = resolved
        .list
        .iter()
        .filter(|setting| setting.origin != Origin::Default && setting.key.name != "units.speed")
        .map(|setting| {
            let value = setting.key.text(&setting.value);
            [setting.key.name, " = ", &value, "\n"].concat()
        });
    lines.collect::<Vec<_>>().concat()
}
