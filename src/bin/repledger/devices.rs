//! What the diary knows of the device that made a recording.

use std::borrow::Cow;
use std::sync::{Mutex, PoisonError};

use repledger::diary::Diary;
use repledger::settings::Settings;
use repledger::trace::Trace;

use crate::args::{DeviceFrom, DiaryFrom};

/// Where earlier recordings of a device are asked for. Without a diary nobody is asked.
pub struct Devices<'a> {
    named: Option<&'a str>,
    /// The diary, and its last entry when the command began: what is added meanwhile is not asked, so that the order in which
    /// recordings are done does not matter.
    diary: Option<(&'a Mutex<Diary>, i64)>,
}

/// The diary of a command that reads one only where it, or a device, is named.
pub fn diary(device: &DeviceFrom, from: &DiaryFrom) -> anyhow::Result<Option<Mutex<Diary>>> {
    let asked = from.diary.is_some() || (device.device.is_some() && from.path()?.exists());
    let diary = asked.then(|| from.open()).transpose()?;
    Ok(diary.map(Mutex::new))
}

impl<'a> Devices<'a> {
    /// Of a command with the device that was typed, and the diary that it has open.
    pub fn of(device: &'a DeviceFrom, diary: Option<&'a Mutex<Diary>>) -> anyhow::Result<Self> {
        let with_last = |diary: &'a Mutex<Diary>| {
            let last = diary
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .last_id()?;
            Ok::<_, anyhow::Error>((diary, last))
        };
        Ok(Self {
            named: device.device.as_deref(),
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
        settings: &'s Settings,
    ) -> anyhow::Result<Cow<'s, Settings>> {
        if let Some(named) = self.named {
            trace.device = Some(named.to_owned());
        }
        let (Some((diary, last)), Some(device)) = (&self.diary, &trace.device) else {
            return Ok(Cow::Borrowed(settings));
        };
        let diary = diary.lock().unwrap_or_else(PoisonError::into_inner);
        let known = diary.witnesses(device, *last, sha256)?;
        if known.is_empty() {
            return Ok(Cow::Borrowed(settings));
        }
        let mut settings = settings.clone();
        settings.motion.known = known;
        Ok(Cow::Owned(settings))
    }
}
