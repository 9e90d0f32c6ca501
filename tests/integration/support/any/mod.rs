//! Generators: any recording, any session that was run, any plan, any entry of a diary.

pub mod entry;
pub mod fixes;
pub mod moves;
pub mod plan;
