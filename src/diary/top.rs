//! The best top speed that the diary knows of an athlete before a day.

use rusqlite::params;

use crate::diary::{Diary, Error, thousandths};
use crate::review::EarlierTop;

/// A top speed counts where its interval is narrower than this share of it: with a wider one nobody could tell 95 % of it.
const TRUSTED_SHARE: i64 = 10;

impl Diary {
    /// The athlete's best top speed of an earlier day, of the entries up to the number `until` and without the recording of the
    /// hash `but`; `None` where none is told closely enough.
    ///
    /// ## Definition
    /// Of those whose 95 % interval is narrower than a tenth of them, the one whose interval begins the highest, the first of equals.
    /// Receivers of a fix a second mostly have wider ones.
    ///
    /// ## Units
    /// m/s.
    ///
    /// # Errors
    /// When the file cannot be read, or holds a day that is none.
    pub fn earlier_top(
        &self,
        athlete: &str,
        before: jiff::civil::Date,
        until: i64,
        but: Option<&[u8; 32]>,
    ) -> Result<Option<EarlierTop>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT s.id, s.date, r.top_mm_s, r.top_low_mm_s, r.top_high_mm_s
             FROM session s JOIN recording r ON r.session_id = s.id
             WHERE s.athlete = ?1 AND s.date < ?2 AND s.id <= ?3 AND r.sha256 IS NOT ?4
                AND (r.top_high_mm_s - r.top_low_mm_s) * ?5 < r.top_mm_s
             ORDER BY r.top_low_mm_s DESC, s.date, s.id LIMIT 1",
        )?;
        let but = but.map(|hash| &hash[..]);
        let mut rows = statement.query(params![
            athlete.trim(),
            before.to_string(),
            until,
            but,
            TRUSTED_SHARE
        ])?;
        let Some(row) = rows.next()? else {
            return Ok(None);
        };
        let id = row.get(0)?;
        let date: String = row.get(1)?;
        let date = (date.parse()).map_err(|_| Error::Unreadable { id, field: "date" })?;
        let top = thousandths::read(row, 2)?;
        Ok(top.map(|speed_m_s| EarlierTop {
            speed_m_s,
            date: Some(date),
        }))
    }
}
