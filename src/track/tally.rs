//! Counts what is set aside, by reason.

use crate::trace::SetAside;

/// Reasons with their counts, in the order first met.
pub(super) struct Tally {
    reasons: Vec<SetAside>,
}

impl Tally {
    /// Starts from what the reading set aside.
    pub(super) fn new(from_reading: &[SetAside]) -> Self {
        Self {
            reasons: from_reading.to_vec(),
        }
    }

    /// Counts one fix that begins on `line`.
    pub(super) fn add(&mut self, reason: &str, line: u64) {
        if let Some(known) = self.reasons.iter_mut().find(|s| s.reason == reason) {
            known.count += 1;
        } else {
            self.reasons.push(SetAside {
                reason: reason.to_owned(),
                count: 1,
                first_line: Some(line),
            });
        }
    }

    pub(super) fn finish(self) -> Vec<SetAside> {
        self.reasons
    }
}
