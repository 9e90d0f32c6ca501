//! The day that it is, by the clock and the time zone of this machine.

use jiff::ZonedDateTime;
use jiff::civil::Date;

/// Today; by universal time where the system names no zone.
pub fn today() -> Date {
    ZonedDateTime::now().date()
}
