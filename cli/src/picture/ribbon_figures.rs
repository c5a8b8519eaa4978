//! Figures at the bars of the ribbon. In: its entries and where their bars end on the paper. Out: texts that overlap neither
//! each other nor a bar; neighbours that shift alike share one figure under a bracket. A figure without room is left out.

use strongback_model::quantity::format::{Sign, Style, figure};
use strongback_model::quantity::{Length, Unit};

use super::font;
use super::ink;
use super::ribbon::{Entry, EntryKind, Upright};
use super::ribbon_drawing::BAR;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::view::Mapping;

/// Neighbours along the fuselage whose shift reads the same.
struct Run {
    text: String,
    by: f64,
    count: usize,
    x: [f64; 2],
}

fn runs(entries: &[Entry], mapping: &Mapping, unit: Unit) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for entry in entries {
        let EntryKind::Bar(by) = entry.kind else {
            continue;
        };
        let text = figure(Length::from_mm(by), unit, Style::Short, Sign::Both);
        let x = mapping.x(entry.station);
        match runs.last_mut() {
            Some(run) if run.text == text => {
                run.count += 1;
                run.x[1] = x;
            }
            _ => runs.push(Run {
                text,
                by,
                count: 1,
                x: [x, x],
            }),
        }
    }
    runs
}

/// Kept free at both sides of a figure.
const BLANK: f64 = 0.6;

/// Left, top, right and foot on the paper.
type Box = [f64; 4];

fn overlap(a: &Box, b: &Box) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Writes the figures.
pub(super) fn figures(
    sheet: &mut Sheet,
    entries: &[Entry],
    mapping: &Mapping,
    scale: Upright,
    zero: f64,
    unit: Unit,
) {
    let end_of = |by: f64| zero - by * scale.paper_per_mm;
    let mut taken: Vec<Box> = entries
        .iter()
        .filter_map(|entry| match entry.kind {
            EntryKind::Bar(by) => {
                let (x, end) = (mapping.x(entry.station), end_of(by));
                Some([x - 0.5 * BAR, zero.min(end), x + 0.5 * BAR, zero.max(end)])
            }
            EntryKind::Unmoved => None,
            _ => {
                let x = mapping.x(entry.station);
                Some([x - 1.2, zero - 1.2, x + 1.2, zero + 1.2])
            }
        })
        .collect();
    let mut runs = runs(entries, mapping, unit);
    // The greatest have the first choice of place, and among like ones the longest run.
    runs.sort_by(|a, b| {
        b.by.abs()
            .total_cmp(&a.by.abs())
            .then(b.count.cmp(&a.count))
    });
    let lettering = Lettering::new(ink::CAPTION, ink::INK, Anchor::Middle);
    for run in runs {
        let text = if run.count == 1 {
            run.text
        } else {
            format!("{} parts {}", run.count, run.text)
        };
        let (middle, half) = (
            0.5 * (run.x[0] + run.x[1]),
            0.5 * font::width(&text, ink::CAPTION),
        );
        // Outwards: up for a shift aft, down for one forward.
        let out = -run.by.signum();
        let bracket = run.x[1] - run.x[0] > 0.5 * BAR;
        let end = end_of(run.by);
        let from = end + out * if bracket { 1.6 } else { 0.8 };
        // Beyond the end of the bars, a line farther, or beside the end of the last or the first bar.
        let high = 0.76 * ink::CAPTION;
        let beside = 0.5 * BAR + BLANK + 0.3 + half;
        let inside = end - out * high;
        let spots = [
            (middle, from),
            (middle, from + out * (high + 1.05)),
            (run.x[1] + beside, inside),
            (run.x[0] - beside, inside),
        ];
        let free = spots.into_iter().find_map(|(x, near)| {
            let far = near + out * high;
            let spot = [
                x - half - BLANK,
                near.min(far),
                x + half + BLANK,
                near.max(far),
            ];
            let clear = !taken.iter().any(|other| overlap(&spot, other));
            clear.then_some((x, spot))
        });
        let Some((x, spot)) = free else {
            continue;
        };
        taken.push(spot);
        if bracket {
            let [a, b] = [run.x[0] - 0.5 * BAR, run.x[1] + 0.5 * BAR].map(number);
            let [line, tip] = [end + out * 0.9, end + out * 0.3].map(number);
            sheet.put(format_args!(
                r#"<path d="M{a} {tip}V{line}H{b}V{tip}" fill="none" stroke="{}" stroke-width="{}"/>"#,
                ink::PALE_INK,
                ink::LINE
            ));
        }
        sheet.text([x, spot[3]], &text, lettering);
    }
}
