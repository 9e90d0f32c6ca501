//! What recordings show of their devices, as it is kept and asked for.

use rusqlite::params;

use crate::diary::{Diary, Error, thousandths};
use crate::motion::Witness;

/// So many recordings of a device are asked, the latest.
const MOST: i64 = 20;

/// All but the rate, which has a column, in thousandths.
type Kept = (
    Option<Vec<i64>>,
    Option<Vec<i64>>,
    Option<i64>,
    Option<i64>,
    Option<i64>,
    Option<i64>,
);

impl Diary {
    /// The latest number of an entry; 0 where there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_id(&self) -> Result<i64, Error> {
        let sql = "SELECT ifnull(max(id), 0) FROM session";
        Ok(self.connection.query_row(sql, [], |row| row.get(0))?)
    }

    /// What the recordings of a device show of it, the latest first, of the entries up to the number `until` and without the
    /// recording of the hash `but`: nothing is its own witness.
    ///
    /// # Errors
    /// When the file cannot be read, or holds what repledger did not write.
    pub fn witnesses(
        &self,
        device: &str,
        until: i64,
        but: Option<&[u8; 32]>,
    ) -> Result<Vec<Witness>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT session_id, rate_mhz, witness FROM recording
             WHERE device = ?1 AND session_id <= ?2 AND sha256 IS NOT ?3 AND witness IS NOT NULL
             ORDER BY session_id DESC LIMIT ?4",
        )?;
        let but = but.map(|hash| &hash[..]);
        let mut rows = statement.query(params![device.trim(), until, but, MOST])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            let (id, rate_mhz, text): (i64, i64, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
            all.push(read(id, thousandths::back(rate_mhz), &text)?);
        }
        Ok(all)
    }
}

/// As it is kept.
pub(super) fn text(witness: &Witness) -> Result<String, Error> {
    let logs = |logs: &[f64]| -> Vec<i64> {
        let kept = logs.iter().map(|log| thousandths::of(*log));
        kept.map(Option::unwrap_or_default).collect()
    };
    let kept: Kept = (
        witness.position.as_ref().map(|l| logs(l)),
        witness.speed.as_ref().map(|l| logs(l)),
        thousandths::of_some(witness.apart_s),
        thousandths::of_some(witness.lag_s),
        thousandths::of_some(witness.speed_noise_m_s),
        thousandths::of_some(witness.agreement),
    );
    thousandths::json(&kept)
}

/// Back from how it is kept.
pub(super) fn read(id: i64, rate_hz: f64, text: &str) -> Result<Witness, Error> {
    let unreadable = || Error::Unreadable {
        id,
        field: "witness of its device",
    };
    let (position, speed, apart, lag, noise, agreement): Kept =
        serde_json::from_str(text).map_err(|_| unreadable())?;
    let logs = |kept: Option<Vec<i64>>| {
        let back = |kept: Vec<i64>| {
            let logs: Vec<f64> = kept.into_iter().map(thousandths::back).collect();
            logs.try_into().map_err(|_| unreadable())
        };
        kept.map(back).transpose()
    };
    let back = |kept: Option<i64>| kept.map(thousandths::back);
    Ok(Witness {
        rate_hz,
        position: logs(position)?,
        speed: logs(speed)?,
        apart_s: back(apart),
        lag_s: back(lag),
        speed_noise_m_s: back(noise),
        agreement: back(agreement),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_comes_back_to_the_thousandth() -> Result<(), Error> {
        let witness = Witness {
            rate_hz: 1.0,
            position: Some([0.0, -0.5, -1.25, -2.0, -3.0, -4.0, -5.0, -6.0, -30.0]),
            speed: None,
            apart_s: Some(-0.35),
            lag_s: None,
            speed_noise_m_s: Some(0.071),
            agreement: Some(1.012),
        };
        assert_eq!(read(1, 1.0, &text(&witness)?)?, witness);
        Ok(())
    }

    #[test]
    fn what_repledger_did_not_write_is_named_with_its_entry() {
        for text in ["", "[]", "[[1,2],null,null,null,null,null]", "[\"x\"]"] {
            let error = read(7, 1.0, text).map(|_| ()).unwrap_err();
            assert!(
                error.to_string().starts_with("entry 7 has a witness"),
                "{error}"
            );
        }
    }
}
