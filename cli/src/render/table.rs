//! Tables.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width,
};

use super::unbroken::{hold, release};

/// A rule under the head and nothing else: rows are short enough to follow without.
const RULED: TableStyle =
    TableStyle::new().header_separator(LineStyle::none().fill('─').junction('─'));

/// The blanks on both sides of a cell.
const PADDING: usize = 2;

/// Words of text up to this length are never cut, whatever the width.
const LONGEST_WORD: usize = 24;

/// Signs between tables, rows and cells, as ASCII (ANSI X3.4-1986) has them for groups, records and units.
pub(crate) const TABLE: &str = "\u{1d}";
pub(crate) const ROW: &str = "\u{1e}";
pub(crate) const CELL: &str = "\u{1f}";
/// Before the head of a column of figures.
pub(crate) const FIGURES: char = '\u{11}';

/// How a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stands {
    /// Text.
    Left,
    /// Figures.
    Right,
}

/// A table of at most `width` characters, unless its figures need more: those are never broken.
pub(super) fn table(
    head: &[(&str, Stands)],
    rows: impl IntoIterator<Item = Vec<String>>,
    width: usize,
) -> String {
    if width == super::PAGE {
        return kept(head, rows);
    }
    let mut table = Table::new();
    table
        .load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(u16::MAX));
    let longest_word = |text: &str| {
        let held = hold(text);
        let words = held.split(' ').map(|word| word.chars().count());
        words.max().unwrap_or(0)
    };
    let mut longest: Vec<usize> = head.iter().map(|(text, _)| longest_word(text)).collect();
    let cell = |text: &str, stands: Stands| {
        Cell::new(hold(text)).set_alignment(match stands {
            Stands::Left => CellAlignment::Left,
            Stands::Right => CellAlignment::Right,
        })
    };
    table.set_header(head.iter().map(|(text, stands)| cell(text, *stands)));
    for row in rows {
        for (longest, text) in longest.iter_mut().zip(&row) {
            *longest = longest_word(text).max(*longest);
        }
        table.add_row(
            row.iter()
                .zip(head)
                .map(|(text, (_, stands))| cell(text, *stands))
                .collect::<Vec<_>>(),
        );
    }
    // a figure wider than its column would be cut anywhere, and so would a word
    for ((at, (_, stands)), longest) in head.iter().enumerate().zip(longest) {
        if let Some(column) = table.column_mut(at) {
            let longest = match stands {
                Stands::Left => longest.min(LONGEST_WORD),
                Stands::Right => longest,
            };
            let least = u16::try_from(longest + PADDING).unwrap_or(u16::MAX);
            column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
        }
    }
    let mut text: String = release(&table.to_string())
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect();
    text.push('\n');
    text
}

/// A table as rows and cells, for a medium that lays tables out by itself.
fn kept(head: &[(&str, Stands)], rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let head = head.iter().map(|(text, stands)| match stands {
        Stands::Left => (*text).to_owned(),
        Stands::Right => format!("{FIGURES}{text}"),
    });
    let head: Vec<String> = head.collect();
    let row = |cells: Vec<String>| {
        let clean = |text: &String| text.replace(|sign: char| sign.is_control(), " ");
        cells.iter().map(clean).collect::<Vec<_>>().join(CELL)
    };
    let rows: Vec<String> = std::iter::once(head.join(CELL))
        .chain(rows.into_iter().map(row))
        .collect();
    format!("{TABLE}{}{TABLE}\n", rows.join(ROW))
}

/// Text in lines of at most `width` characters, each after the first indented.
pub(crate) fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let text = hold(text);
    let mut lines = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let used = line.chars().count();
        if used > 0 && used + 1 + word.chars().count() > width {
            lines.push_str(line.trim_end());
            lines.push('\n');
            line = " ".repeat(indent);
            line.push_str(word);
            continue;
        }
        if used > 0 && !line.ends_with(' ') {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push_str(line.trim_end());
    lines.push('\n');
    release(&lines)
}

/// What belongs to the line above it: two blanks in, and its own further lines four.
pub(super) fn indented(text: &str, width: usize) -> String {
    format!("  {}", wrapped(text, width.saturating_sub(2), 4))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_width_breaks_a_figure() {
        let head = [
            ("part", Stands::Left),
            ("station, in", Stands::Right),
            ("waterline, in", Stands::Right),
        ];
        let row = [
            "tail cone skin, upper",
            "-8 1/4 to -7 3/4",
            "112 13/16 to 140 1/2",
        ];
        for width in 20..80 {
            let shown = table(&head, [row.map(str::to_owned).to_vec()], width);
            for figure in ["-8 1/4", "-7 3/4", "112 13/16", "140 1/2"] {
                assert!(shown.contains(figure), "{figure} at {width}:\n{shown}");
            }
        }
    }

    #[test]
    fn no_line_breaks_a_figure() {
        let told = "rail L length shorter by 19 5/16 in, and 3 7/8 in are left";
        for width in 12..60 {
            let shown = wrapped(told, width, 2);
            assert!(shown.contains("19 5/16 in,"), "at {width}:\n{shown}");
            assert!(shown.contains("3 7/8 in"), "at {width}:\n{shown}");
        }
    }
}
