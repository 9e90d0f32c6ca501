//! What the diary knows of the device that made a recording, and of who wore it.

use std::borrow::Cow;
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::civil::Date;
use repledger::diary::Diary;
use repledger::review::EarlierTop;
use repledger::settings::Settings;
use repledger::trace::Trace;

use crate::args::{DeviceFrom, DiaryFrom};

/// Where earlier recordings of a device, and of an athlete, are asked for. Without a diary nobody is asked.
pub struct Known<'a> {
    device: Option<&'a str>,
    /// The diary, and its last entry when the command began: what is added meanwhile is not asked, so that the order in which
    /// recordings are done does not matter.
    diary: Option<(&'a Mutex<Diary>, i64)>,
}

/// Whose recording it is, and of which day; `None` where that is not known.
pub struct Worn<'a> {
    pub athlete: Option<&'a str>,
    pub date: Option<Date>,
}

/// The diary of a command that reads one only where it, or a device, or an athlete is named.
pub fn diary(
    device: &DeviceFrom,
    athlete: Option<&str>,
    from: &DiaryFrom,
) -> anyhow::Result<Option<Mutex<Diary>>> {
    let who = device.device.is_some() || athlete.is_some();
    let asked = from.diary.is_some() || (who && from.path()?.exists());
    let diary = asked.then(|| from.open()).transpose()?;
    Ok(diary.map(Mutex::new))
}

impl<'a> Known<'a> {
    /// Of a command with the device that was typed, and the diary that it has open.
    pub fn of(device: &'a DeviceFrom, diary: Option<&'a Mutex<Diary>>) -> anyhow::Result<Self> {
        let with_last = |diary: &'a Mutex<Diary>| {
            let last = lock(diary).last_id()?;
            Ok::<_, anyhow::Error>((diary, last))
        };
        Ok(Self {
            device: device.device.as_deref(),
            diary: diary.map(with_last).transpose()?,
        })
    }

    /// Whether a diary is asked, which must be told which recording not to take for an earlier one.
    pub fn asks(&self) -> bool {
        self.diary.is_some()
    }

    /// Names the device of a recording where it was typed, and gives the settings for it, with what earlier recordings show.
    pub fn settings<'s>(
        &self,
        trace: &mut Trace,
        sha256: Option<&[u8; 32]>,
        worn: &Worn<'_>,
        settings: &'s Settings,
    ) -> anyhow::Result<Cow<'s, Settings>> {
        if let Some(device) = self.device {
            trace.device = Some(device.to_owned());
        }
        let Some((diary, last)) = &self.diary else {
            return Ok(Cow::Borrowed(settings));
        };
        let diary = lock(diary);
        let witnesses = match &trace.device {
            Some(device) => diary.witnesses(device, *last, sha256)?,
            None => Vec::new(),
        };
        let earlier_top = earlier_top(&diary, worn, *last, sha256)?;
        if witnesses.is_empty() && earlier_top.is_none() {
            return Ok(Cow::Borrowed(settings));
        }
        let mut settings = settings.clone();
        settings.motion.known = witnesses;
        settings.review.earlier_top = earlier_top;
        Ok(Cow::Owned(settings))
    }
}

fn lock(diary: &Mutex<Diary>) -> MutexGuard<'_, Diary> {
    diary.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The best of an earlier day of who wore it; of a session of no day nobody can say what was earlier.
fn earlier_top(
    diary: &Diary,
    worn: &Worn<'_>,
    until: i64,
    sha256: Option<&[u8; 32]>,
) -> anyhow::Result<Option<EarlierTop>> {
    let Some(date) = worn.date else {
        return Ok(None);
    };
    let athlete = match worn.athlete {
        Some(athlete) => athlete.to_owned(),
        // Of a diary that is one person's, that one's.
        None => match <[String; 1]>::try_from(diary.athletes()?) {
            Ok([one]) => one,
            Err(_) => String::new(),
        },
    };
    Ok(diary.earlier_top(&athlete, date, until, sha256)?)
}
