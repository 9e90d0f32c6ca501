//! Rows as a workbook: a sheet a table with typed cells and a frozen header, one that explains the columns, one with the settings.
//!
//! No cell holds a formula: texts are written as texts, whatever they look like. A sheet of weeks has a chart of the sprints.

use rust_xlsxwriter::{
    Chart, ChartType, DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, Worksheet,
    XlsxError,
};

use super::{Cell, Column, Of, Table, Type};

/// Most rows that a sheet holds, the header included.
const MOST_ROWS: usize = 1 << 20;
/// Most characters that a cell holds.
const MOST_CHARS: usize = 32_767;

/// A line of the sheet of settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingLine {
    /// Its dotted name.
    pub name: String,
    /// Its value with its unit.
    pub value: String,
    /// What it means, or whose setting it is.
    pub meaning: String,
}

/// Why a workbook could not be made.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// A table has more rows than a sheet holds.
    TooLong(Of, usize),
    /// The writer failed.
    Write(XlsxError),
}

impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::TooLong(of, rows) => write!(
                f,
                "the table of {} has {rows} rows, and a sheet holds {}; write it as CSV, or take fewer sessions",
                of.word(),
                MOST_ROWS - 1
            ),
            Self::Write(error) => write!(f, "the workbook could not be made: {error}"),
        }
    }
}

impl std::error::Error for Error {}

impl From<XlsxError> for Error {
    fn from(error: XlsxError) -> Self {
        Self::Write(error)
    }
}

/// Writes the workbook, a sheet a table in the order given.
///
/// # Errors
/// When a table has more rows than a sheet holds, or the writer fails.
pub fn render(tables: &[Table], settings: &[SettingLine]) -> Result<Vec<u8>, Error> {
    let mut workbook = Workbook::new();
    // The same rows give the same bytes, whenever they are written.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&made));
    for table in tables {
        if table.rows.len() >= MOST_ROWS {
            return Err(Error::TooLong(table.of, table.rows.len()));
        }
        write_table(workbook.add_worksheet(), table)?;
    }
    explain(workbook.add_worksheet(), tables)?;
    list_settings(workbook.add_worksheet(), settings)?;
    Ok(workbook.save_to_buffer()?)
}

fn write_table(sheet: &mut Worksheet, table: &Table) -> Result<(), Error> {
    sheet.set_name(table.of.word())?;
    let names = table.columns.iter().map(|c| c.name.as_str());
    header(sheet, names)?;
    for (at, column) in (0_u16..).zip(&table.columns) {
        sheet.set_column_width(at, width(table, usize::from(at), column))?;
        let format = format(column);
        for (row, cells) in (1_u32..).zip(&table.rows) {
            if let Some(cell) = cells.get(usize::from(at)) {
                write_cell(sheet, row, at, cell, &format)?;
            }
        }
    }
    // More rows than fit were refused before.
    let last = table.rows.len() as u32;
    if let (Some(columns), true) = (u16::try_from(table.columns.len()).ok(), last > 0) {
        sheet.autofilter(0, 0, last, columns - 1)?;
    }
    if table.of == Of::Weeks {
        chart(sheet, table)?;
    }
    Ok(())
}

fn header<'a>(sheet: &mut Worksheet, names: impl Iterator<Item = &'a str>) -> Result<(), Error> {
    let bold = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Top);
    for (at, name) in (0_u16..).zip(names) {
        sheet.write_string_with_format(0, at, name, &bold)?;
    }
    sheet.set_freeze_panes(1, 0)?;
    print_wide(sheet)
}

/// On paper a sheet lies across, its columns side by side as far as they can be read, and each page has the names.
fn print_wide(sheet: &mut Worksheet) -> Result<(), Error> {
    const A4: u8 = 9;
    // On one page forty columns would be 4 points high.
    const PAGES_WIDE: u16 = 2;
    sheet.set_landscape();
    sheet.set_paper_size(A4);
    sheet.set_print_fit_to_pages(PAGES_WIDE, 0);
    sheet.set_repeat_rows(0, 0)?;
    Ok(())
}

fn write_cell(
    sheet: &mut Worksheet,
    row: u32,
    at: u16,
    cell: &Cell,
    format: &Format,
) -> Result<(), Error> {
    match cell {
        Cell::Text(text) => sheet.write_string(row, at, fitted(text))?,
        // Sheets know only numbers with 53 bits; no count is near that.
        Cell::Int(number) => sheet.write_number_with_format(row, at, *number as f64, format)?,
        Cell::Number(number) => sheet.write_number_with_format(row, at, *number, format)?,
        Cell::Bool(yes) => sheet.write_boolean(row, at, *yes)?,
        Cell::Day(day) => match sheet_date(*day) {
            Ok(date) => sheet.write_datetime_with_format(row, at, &date, format)?,
            Err(_) => sheet.write_string(row, at, day.to_string())?,
        },
        Cell::Time(moment) => match sheet_time(moment.civil()) {
            Ok(time) => sheet.write_datetime_with_format(row, at, &time, format)?,
            Err(_) => sheet.write_string(row, at, moment.to_string())?,
        },
        Cell::Missing => return Ok(()),
    };
    Ok(())
}

/// Sheets know the days from 1900 to 9999; others are an error here and words in the cell.
fn sheet_date(day: jiff::civil::Date) -> Result<ExcelDateTime, XlsxError> {
    let year = u16::try_from(day.year()).unwrap_or(0);
    ExcelDateTime::from_ymd(year, day.month().unsigned_abs(), day.day().unsigned_abs())
}

fn sheet_time(time: jiff::civil::DateTime) -> Result<ExcelDateTime, XlsxError> {
    sheet_date(time.date())?.and_hms_milli(
        u16::from(time.hour().unsigned_abs()),
        time.minute().unsigned_abs(),
        time.second().unsigned_abs(),
        time.millisecond().unsigned_abs(),
    )
}

/// As much of the text as a cell holds.
fn fitted(text: &str) -> String {
    if text.encode_utf16().count() <= MOST_CHARS {
        return text.to_owned();
    }
    let mut units = 1;
    let kept = text.chars().take_while(|c| {
        units += c.len_utf16();
        units <= MOST_CHARS
    });
    kept.chain(['…']).collect()
}

fn format(column: &Column) -> Format {
    let format = Format::new();
    match column.kind {
        Type::Number if column.decimals > 0 => {
            format.set_num_format(format!("0.{}", "0".repeat(usize::from(column.decimals))))
        }
        Type::Number | Type::Int => format.set_num_format("0"),
        Type::Day => format.set_num_format("yyyy-mm-dd"),
        Type::Time => format.set_num_format("yyyy-mm-dd hh:mm:ss.000"),
        Type::Text | Type::Bool => format,
    }
}

/// Wide enough for what stands in the column, within reason.
fn width(table: &Table, at: usize, column: &Column) -> f64 {
    let texts = table.rows.iter().filter_map(|row| match row.get(at) {
        Some(Cell::Text(text)) => Some(text.chars().count()),
        _ => None,
    });
    let held = match column.kind {
        Type::Time => 23,
        Type::Day => 11,
        Type::Text => texts.max().unwrap_or(0),
        Type::Int | Type::Number | Type::Bool => 9,
    };
    held.max(column.name.chars().count()).clamp(8, 48) as f64 + 3.0
}

/// Sprints by week, as columns.
fn chart(sheet: &mut Worksheet, table: &Table) -> Result<(), Error> {
    let at = |name: &str| {
        let at = table.columns.iter().position(|c| c.name == name);
        at.and_then(|at| u16::try_from(at).ok())
    };
    let (Some(week), Some(sprints)) = (at("week"), at("sprints")) else {
        return Ok(());
    };
    let last = table.rows.len() as u32;
    if last == 0 {
        return Ok(());
    }
    let name = table.of.word();
    let mut chart = Chart::new(ChartType::Column);
    chart
        .add_series()
        .set_categories((name, 1, week, last, week))
        .set_values((name, 1, sprints, last, sprints))
        .set_name("sprints");
    chart.title().set_name("Sprints by week");
    chart.x_axis().set_name("week");
    chart.y_axis().set_name("sprints");
    chart.legend().set_hidden();
    sheet.insert_chart(last + 2, 1, &chart)?;
    Ok(())
}

fn explain(sheet: &mut Worksheet, tables: &[Table]) -> Result<(), Error> {
    sheet.set_name("columns")?;
    header(
        sheet,
        ["table", "column", "unit", "type", "meaning"].into_iter(),
    )?;
    for (at, width) in (0_u16..).zip([10.0, 28.0, 14.0, 10.0, 90.0]) {
        sheet.set_column_width(at, width)?;
    }
    let all = tables
        .iter()
        .flat_map(|t| t.columns.iter().map(move |c| (t, c)));
    for (row, (table, column)) in (1_u32..).zip(all) {
        sheet.write_string(row, 0, table.of.word())?;
        sheet.write_string(row, 1, &column.name)?;
        sheet.write_string(row, 2, column.unit.unwrap_or_default())?;
        sheet.write_string(row, 3, super::json::word(column.kind))?;
        sheet.write_string(row, 4, &column.meaning)?;
    }
    Ok(())
}

fn list_settings(sheet: &mut Worksheet, settings: &[SettingLine]) -> Result<(), Error> {
    sheet.set_name("settings")?;
    header(sheet, ["setting", "value", "meaning"].into_iter())?;
    for (at, width) in (0_u16..).zip([28.0, 20.0, 90.0]) {
        sheet.set_column_width(at, width)?;
    }
    for (row, line) in (1_u32..).zip(settings) {
        sheet.write_string(row, 0, fitted(&line.name))?;
        sheet.write_string(row, 1, fitted(&line.value))?;
        sheet.write_string(row, 2, fitted(&line.meaning))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_cut_where_a_cell_ends() {
        assert_eq!(fitted("short"), "short");
        // Each takes two of the units that cells count.
        let long = fitted(&"\u{1f600}".repeat(MOST_CHARS));
        assert!(long.encode_utf16().count() <= MOST_CHARS && long.ends_with('…'));
    }

    #[test]
    fn the_same_rows_give_the_same_bytes() -> Result<(), Error> {
        let tables = Of::ALL.map(|of| Table::of(of, &[]));
        assert_eq!(render(&tables, &[])?, render(&tables, &[])?);
        Ok(())
    }
}
