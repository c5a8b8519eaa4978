//! Samples of a stack-up as a picture. In: must-fits, stacked. Out: an SVG in mm of paper: for each of them the measure that fits
//! least often, its samples as bars, limits as lines, and under the axis how far worst case and root-sum-square reach.
//! What lies beyond a limit is hatched, so that grey print loses nothing.

use strongback_model::quantity::Unit;
use strongback_model::stack::{Histogram, Sampled, Stack, StackVerdict, StackedMeasure};

use super::composition::note;
use super::histogram_axis::{Axis, LEFT, RIGHT, reach, round_values, scale};
use super::look::{self, Change};
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{MARGIN, PAPER, font, ink};
use crate::render::decimal::Decimal;
use crate::render::stack::subject;

/// What a picture of samples is to show.
#[derive(Clone, Copy, Debug)]
pub struct Samples<'a> {
    /// What the model is of.
    pub title: &'a str,
    /// The verdict.
    pub subtitle: &'a str,
    /// The must-fits.
    pub stacks: &'a [Stack],
    /// The file's unit.
    pub unit: Unit,
}

/// Height of the bars.
const BARS: f64 = 46.0;
/// From one line of words to the next.
const LINE: f64 = 1.5 * ink::NUMBER;
/// Starts the ids of patterns.
const ID: &str = "samples";

/// The picture as SVG, [`PAPER`] mm wide.
#[must_use]
pub fn histogram(samples: &Samples<'_>) -> String {
    let mut sheet = Sheet::default();
    let room = PAPER - 2.0 * MARGIN;
    let mut y = MARGIN + ink::TITLE;
    let title = format!("{}: tolerance stack-up", samples.title.trim());
    let words = |size, colour| Lettering::new(size, colour, Anchor::Start);
    let fitted = font::fitted(&title, ink::TITLE, room);
    sheet.text([MARGIN, y], &fitted, words(ink::TITLE, ink::INK));
    let subtitle = samples.subtitle.replace('`', "");
    for line in font::wrapped(&subtitle, ink::CAPTION, room) {
        y += 1.6 * ink::CAPTION;
        sheet.text([MARGIN, y], &line, words(ink::CAPTION, ink::PALE_INK));
    }
    look::patterns(&mut sheet, ID, &[Change::Remade]);
    for stack in samples.stacks {
        let drawn = stack
            .measures
            .iter()
            .find_map(|measure| Some((measure, measure.sampled.as_ref()?)));
        y += 8.0;
        match drawn {
            Some((measure, sampled)) => {
                y = panel(&mut sheet, stack, measure, sampled, samples.unit, y)
            }
            None => {
                let told = format!("{}: nothing was sampled.", stack.name);
                sheet.text([MARGIN, y], &told, words(ink::CAPTION, ink::INK));
            }
        }
    }
    y = note(&mut sheet, y + 3.0);
    sheet.finish(PAPER, y, &title)
}

fn panel(
    sheet: &mut Sheet,
    stack: &Stack,
    measure: &StackedMeasure,
    sampled: &Sampled,
    unit: Unit,
    top: f64,
) -> f64 {
    let decimal = Decimal::of(measure, unit);
    let axis = Axis::of(measure, sampled);
    let head = subject(stack, measure, decimal);
    let head = font::fitted(&head, ink::CAPTION, PAPER - 2.0 * MARGIN);
    sheet.text(
        [MARGIN, top],
        &head,
        Lettering::new(ink::CAPTION, ink::INK, Anchor::Start),
    );
    let bars_top = top + 3.0 + 2.0 * LINE;
    let foot = bars_top + BARS;
    bars(sheet, axis, measure, &sampled.histogram, [bars_top, foot]);
    let mut remarks = limits(sheet, axis, measure, decimal, [top + 3.0, foot]);
    let mut y = scale(sheet, axis, decimal, foot);
    y += 4.0;
    for (name, range, off) in [
        ("worst case", measure.worst_range(), measure.worst_case),
        (
            "root of the sum of squares",
            [measure.nominal - measure.rss, measure.nominal + measure.rss],
            measure.rss,
        ),
    ] {
        let told = format!("{name} {}", decimal.both_sides(off));
        reach(sheet, axis, range, &told, y);
        y += 1.2 * LINE;
    }
    let beyond = |limit: Option<f64>, is: fn(f64, f64) -> bool, worst: f64| {
        limit.is_some_and(|limit| is(worst, limit))
    };
    if beyond(measure.least, |worst, limit| worst < limit, sampled.least)
        || beyond(measure.most, |worst, limit| worst > limit, sampled.greatest)
    {
        remarks.insert(0, "Hatched: beyond a limit.".to_owned());
    }
    let [low, _, high] = sampled.quantiles;
    let told = format!("99.73 % of builds: {}", decimal.range([low, high]));
    reach(sheet, axis, [low, high], &told, y);
    y += LINE;
    if stack.verdict == StackVerdict::NotJudged {
        remarks.push("Not judged: nothing behind it states a tolerance.".to_owned());
    }
    if !stack.disputed.is_empty() {
        let told = format!(
            "DISPUTED by {}: it rests on figures that contradict each other.",
            stack.disputed.join(", ")
        );
        remarks.push(font::fitted(&told, ink::NOTE, RIGHT - LEFT));
    }
    if sampled.failed > 0 {
        remarks.push(format!(
            "{} samples could not be solved; they count as missing.",
            sampled.failed
        ));
    }
    for remark in remarks {
        sheet.text(
            [LEFT, y],
            &remark,
            Lettering::new(ink::NOTE, ink::INK, Anchor::Start),
        );
        y += LINE;
    }
    y
}

/// The bars, hatched beyond the limits, over lines for round counts.
fn bars(
    sheet: &mut Sheet,
    axis: Axis,
    measure: &StackedMeasure,
    histogram: &Histogram,
    [top, foot]: [f64; 2],
) {
    let most = histogram.counts.iter().copied().max().unwrap_or(1).max(1) as f64;
    let height = |count: f64| (foot - top) * count / (1.05 * most);
    let words = Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::End);
    sheet.open(&format!(
        r#"class="guides" stroke="{}" stroke-width="{}""#,
        ink::GUIDE,
        ink::FINE
    ));
    let levels = round_values(0.0, most, 5.0);
    for level in &levels {
        let y = foot - height(*level);
        sheet.line([LEFT, y], [RIGHT, y], "");
    }
    sheet.close();
    for level in levels.iter().filter(|level| level.fract() == 0.0) {
        sheet.text(
            [LEFT - 1.2, foot - height(*level) + 0.8],
            &number(*level),
            words,
        );
    }
    let turned = Lettering {
        turn_deg: -90.0,
        ..Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::Middle)
    };
    sheet.text([MARGIN + 2.0, 0.5 * (top + foot)], "sampled builds", turned);
    // what doesn't vary is one line
    let width = histogram.width.max(0.004 * (axis.to - axis.from));
    let hatch = Change::Remade.fill(ID);
    sheet.open(&format!(
        r#"class="bars" stroke="{}" stroke-width="{}""#,
        ink::INK,
        ink::LINE
    ));
    for (at, count) in histogram
        .counts
        .iter()
        .enumerate()
        .filter(|(_, count)| **count > 0)
    {
        let from = histogram.from + width * at as f64;
        let tall = height(*count as f64);
        let mut bar = |from: f64, to: f64, fill: &str| {
            sheet.put(format_args!(
                r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{fill}"/>"#,
                number(axis.x(from)),
                number(foot - tall),
                number(axis.x(to) - axis.x(from)),
                number(tall)
            ));
        };
        let to = from + width;
        bar(from, to, ink::METAL);
        if let Some(least) = measure.least.filter(|least| *least > from) {
            bar(from, least.min(to), &hatch);
        }
        if let Some(most) = measure.most.filter(|most| *most < to) {
            bar(most.max(from), to, &hatch);
        }
    }
    sheet.close();
}

/// The limits and the plan's value as lines; gives remarks on limits that lie further off.
fn limits(
    sheet: &mut Sheet,
    axis: Axis,
    measure: &StackedMeasure,
    decimal: Decimal,
    [top, foot]: [f64; 2],
) -> Vec<String> {
    let mut remarks = Vec::new();
    for (limit, words, outside) in [
        (measure.least, "at least", Anchor::End),
        (measure.most, "at most", Anchor::Start),
    ] {
        let Some(limit) = limit else { continue };
        let told = format!("{words} {}", decimal.told(limit));
        if !axis.holds(limit) {
            remarks.push(format!("The limit, {told}, lies further off."));
            continue;
        }
        let x = axis.x(limit);
        sheet.line(
            [x, top + 0.6],
            [x, foot],
            &format!(
                r#"class="limit" stroke="{}" stroke-width="{}""#,
                ink::REMADE,
                ink::BOLD
            ),
        );
        beside(sheet, [x, top + 2.4], &told, outside, ink::REMADE);
    }
    let x = axis.x(measure.nominal);
    sheet.line(
        [x, top + LINE + 0.6],
        [x, foot],
        &format!(
            r#"class="drawn" stroke="{}" stroke-width="{}" stroke-dasharray="2 1""#,
            ink::PICKED,
            ink::BOLD
        ),
    );
    let told = format!("as drawn {}", decimal.told(measure.nominal));
    beside(
        sheet,
        [x, top + LINE + 2.4],
        &told,
        Anchor::Start,
        ink::PICKED,
    );
    remarks
}

/// Words to one side of a line, or to the other where the paper ends.
fn beside(sheet: &mut Sheet, [x, y]: [f64; 2], words: &str, side: Anchor, colour: &'static str) {
    let room = font::width(words, ink::NUMBER) + 1.0;
    let to_the_left = match side {
        Anchor::End => x - room >= MARGIN,
        Anchor::Start | Anchor::Middle => x + room > PAPER - MARGIN,
    };
    let (x, anchor) = if to_the_left {
        (x - 1.0, Anchor::End)
    } else {
        (x + 1.0, Anchor::Start)
    };
    sheet.text([x, y], words, Lettering::new(ink::NUMBER, colour, anchor));
}
