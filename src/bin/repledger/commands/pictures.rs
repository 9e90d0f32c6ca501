//! A picture beside an account: as SVG and as PNG, written with the rest of a folder.

use std::path::Path;

use anyhow::Context;
use repledger::figure;

use crate::args::Theme;
use crate::output::{Folder, Output};
use crate::printer::Printer;

/// Pixels of a PNG for each of its drawing's units: sharp on a phone and on paper.
const PNG_SCALE: f64 = 2.0;

/// The picture in both forms; without a theme the SVG follows its reader, and the PNG is light.
pub fn both(name: &str, svg: String, theme: Option<Theme>) -> anyhow::Result<[Output; 2]> {
    let settled = figure::themed(&svg, theme.unwrap_or(Theme::Light).into());
    let png = figure::png(&settled, PNG_SCALE)
        .with_context(|| format!("cannot draw the picture '{name}'"))?;
    Ok([
        Output {
            name: format!("{name}.svg"),
            bytes: theme.map_or(svg, |_| settled).into_bytes(),
        },
        Output {
            name: format!("{name}.png"),
            bytes: png,
        },
    ])
}

/// The account as text and as JSON, as files of one name.
pub fn accounts(name: &str, text: &str, json: &str) -> Vec<Output> {
    let output = |ending: &str, text: &str| Output {
        name: format!("{name}.{ending}"),
        bytes: text.as_bytes().to_owned(),
    };
    vec![output("txt", text), output("json", json)]
}

/// Writes the folder and says so.
pub fn write(
    folder: Folder,
    path: &Path,
    outputs: &[Output],
    printer: &mut Printer,
) -> anyhow::Result<()> {
    folder.write(outputs)?;
    printer.talk(format!(
        "wrote {} files into '{}'",
        outputs.len(),
        path.display()
    ));
    Ok(())
}
