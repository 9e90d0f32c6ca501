//! Which recordings that are not in the diary yet may be of one day.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::civil::Date;

/// The days of the recordings that are not in the diary yet, by their places among all; `None` as long as a day is not known.
pub struct Days(Mutex<BTreeMap<usize, Option<Date>>>);

impl Days {
    /// Of so many recordings, none of which is known yet.
    pub fn of(recordings: usize) -> Self {
        Self(Mutex::new((0..recordings).map(|k| (k, None)).collect()))
    }

    /// Notes the day of a file. Whether no earlier one may be of the same day.
    pub fn first_of(&self, place: usize, date: Date) -> bool {
        let mut days = self.waiting();
        days.insert(place, Some(date));
        days.range(..place)
            .all(|(_, day)| day.is_some_and(|day| day != date))
    }

    /// Its entry is in the diary, or will never be.
    pub fn end(&self, place: usize) {
        self.waiting().remove(&place);
    }

    fn waiting(&self) -> MutexGuard<'_, BTreeMap<usize, Option<Date>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
