//! Why a rep is not simply done, in a player's words.

use crate::review::{Planned, Reason};

/// The words, which follow a verdict.
#[must_use]
pub fn text(reason: &Reason) -> String {
    let fixed = match *reason {
        Reason::TooSparse { apart_s } => {
            return format!("one place every {apart_s:.0} s cannot show work as short as this");
        }
        Reason::CutOff { share, planned } => {
            // The time is the plan's, told beside it; what was expected of this session is another.
            let planned = match planned {
                Planned::Time(_) => "its time".to_owned(),
                Planned::Distance(m) => format!("{m:.0} m"),
            };
            return format!("cut off after {:.0} % of {planned}", 100.0 * share);
        }
        Reason::PartOfTime { share } => return format!("{:.0} % of its time", 100.0 * share),
        Reason::CountOpen { reps } => {
            return format!("about {reps} reps, counted by their turns and times, but not surely");
        }
        Reason::Left { reps } => return format!("begun and left, after {reps} reps in full"),
        Reason::SetEnded { reps } => return format!("the set ended after {reps} reps"),
        Reason::NotThisPlan => "the plan does not look like this recording's",
        Reason::Slow => "run in full, but below the speed asked for",
        Reason::FullOpen => "the recording cannot tell whether it was run in full",
        Reason::NotInFull => {
            "not done in full; whether it was cut short or left out cannot be told"
        }
        Reason::WhichOpen => "the recording cannot tell whether it was this one",
        Reason::SetOpen => "the recording cannot tell whether it was this set",
        Reason::DoneOpen => "the recording cannot tell whether it was done",
        Reason::PlaceOpen => "the recording cannot tell where it was, or whether all of it",
        Reason::Gap => "the recording has a gap where it would be",
        Reason::OtherTime => "work that would suit it was done at another time than planned",
        Reason::AlikeDone => "one block like it was done; which of the two cannot be told",
        Reason::TimePassed => "the time that its block takes passed there",
        Reason::ShortWay => "this receiver hardly shows work on so short a way",
        Reason::NotToTheEnd => "nothing like it up to the end of the recording",
        Reason::BeginsLater => "the recording begins with later work",
        Reason::NotThere => "not in the recording",
    };
    fixed.to_owned()
}
