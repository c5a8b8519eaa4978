//! Tables.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Table, TableStyle};

/// A rule under the head and nothing else: rows are short enough to follow without.
const RULED: TableStyle =
    TableStyle::new().header_separator(LineStyle::none().fill('─').junction('─'));

/// How a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stands {
    /// Text.
    Left,
    /// Figures.
    Right,
}

/// A table of at most `width` characters.
pub(super) fn table(
    head: &[(&str, Stands)],
    rows: impl IntoIterator<Item = Vec<String>>,
    width: usize,
) -> String {
    let mut table = Table::new();
    table
        .load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(u16::MAX));
    let cell = |text: &str, stands: Stands| {
        Cell::new(text).set_alignment(match stands {
            Stands::Left => CellAlignment::Left,
            Stands::Right => CellAlignment::Right,
        })
    };
    table.set_header(head.iter().map(|(text, stands)| cell(text, *stands)));
    for row in rows {
        table.add_row(
            row.iter()
                .zip(head)
                .map(|(text, (_, stands))| cell(text, *stands))
                .collect::<Vec<_>>(),
        );
    }
    let mut text: String = table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect();
    text.push('\n');
    text
}

/// Text in lines of at most `width` characters, each after the first indented.
pub(super) fn wrapped(text: &str, width: usize, indent: usize) -> String {
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
    lines
}
