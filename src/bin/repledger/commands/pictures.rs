//! What a command writes into the folder behind --out: accounts, and pictures as SVG and as PNG.

use std::path::PathBuf;

use anyhow::Context;
use rayon::prelude::*;
use repledger::figure::{self, Picture, Svg};

use crate::args::{Drawn, Theme};
use crate::output::{Folder, Output};
use crate::printer::Printer;

/// Pixels of a PNG for each of its drawing's units: sharp on a phone and on paper.
const PNG_SCALE: f64 = 2.0;

/// The folder that is wanted.
pub struct Wanted<'a> {
    path: &'a PathBuf,
    folder: Folder,
    theme: Option<Theme>,
}

impl<'a> Wanted<'a> {
    /// The folder that was typed, if one was, before the work begins that it is wanted for.
    pub fn open(out: Option<&'a PathBuf>, drawn: &Drawn) -> anyhow::Result<Option<Self>> {
        let Some(path) = out else { return Ok(None) };
        Ok(Some(Self {
            path,
            folder: Folder::open(path, drawn.force)?,
            theme: drawn.theme,
        }))
    }

    /// Writes account and JSON under one name, and the pictures, each with its own.
    pub fn write_accounts(
        self,
        name: &str,
        (text, json): (&str, &str),
        pictures: impl IntoIterator<Item = (String, Svg)>,
        printer: &mut Printer,
    ) -> anyhow::Result<()> {
        let mut outputs = vec![
            Output::text(format!("{name}.txt"), text),
            Output::text(format!("{name}.json"), json),
        ];
        for (name, svg) in pictures {
            outputs.extend(both(&name, svg, self.theme)?);
        }
        self.write(&outputs, printer)
    }

    /// Writes the files and says so.
    pub fn write(self, outputs: &[Output], printer: &mut Printer) -> anyhow::Result<()> {
        self.folder.write(outputs)?;
        printer.talk(format!(
            "wrote {} files into '{}'",
            outputs.len(),
            self.path.display()
        ));
        Ok(())
    }
}

/// Each picture in both forms.
pub fn all(pictures: Vec<Picture>, theme: Option<Theme>) -> anyhow::Result<Vec<Output>> {
    let pairs: Vec<[Output; 2]> = pictures
        .into_par_iter()
        .map(|picture| both(picture.name, picture.svg, theme))
        .collect::<anyhow::Result<_>>()?;
    Ok(pairs.into_iter().flatten().collect())
}

/// The picture in both forms; without a theme the SVG follows its reader, and the PNG is light.
fn both(name: &str, svg: Svg, theme: Option<Theme>) -> anyhow::Result<[Output; 2]> {
    let settled = svg.settled(theme.unwrap_or(Theme::Light).into());
    let png = figure::png(&settled, PNG_SCALE)
        .with_context(|| format!("cannot draw the picture '{name}'"))?;
    Ok([
        Output::text(
            format!("{name}.svg"),
            theme.map_or_else(|| svg.into_text(), |_| settled),
        ),
        Output {
            name: format!("{name}.png"),
            bytes: png,
        },
    ])
}
