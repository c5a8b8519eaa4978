//! What a stack-up came to, in words: the verdict in one line, the word of each must-fit, and what the words mean. In: stack-ups.
//! Out: text; shares of builds with as many places as their error leaves.

use strongback_model::stack::{Chance, Stack, StackVerdict, StackedMeasure};

use super::figures::count;
use super::fit::remark;

/// The verdict in one line: of one must-fit, of one on both sides, or of all.
pub fn verdict(stacks: &[Stack], named: bool) -> String {
    if named {
        let told: Vec<String> = stacks.iter().map(of_one).collect();
        return told.join(" ");
    }
    if stacks.is_empty() {
        return "The model states no must-fits.".to_owned();
    }
    let of = |verdict| stacks.iter().filter(|one| one.verdict == verdict).count();
    let (open, not_judged) = (of(StackVerdict::Open), of(StackVerdict::NotJudged));
    let unmeasured = of(StackVerdict::Unmeasured);
    let judged = stacks.len() - open - not_judged - unmeasured;
    let all = count(stacks.len(), "must-fit", "must-fits");
    let mut told = match of(StackVerdict::AtRisk) + of(StackVerdict::Misses) {
        0 if judged == 0 => format!("None of {all} is judged"),
        0 if judged == stacks.len() => format!("All {all} fit in 99.73 % of builds or more"),
        0 => format!("{judged} of {all} fit in 99.73 % of builds or more"),
        1 => format!("1 of {all} fits in fewer than 99.73 % of builds"),
        n => format!("{n} of {all} fit in fewer than 99.73 % of builds"),
    };
    if not_judged > 0 {
        let them = if not_judged == 1 { "it" } else { "them" };
        told.push_str(&format!(
            "; {not_judged} not judged, since nothing behind {them} states a tolerance"
        ));
    }
    if open > 0 {
        told.push_str(&format!("; {open} open"));
    }
    if unmeasured > 0 {
        told.push_str(&format!("; {unmeasured} can't be measured"));
    }
    let disputed = stacks.iter().filter(|one| !one.disputed.is_empty()).count();
    if disputed > 0 {
        told.push_str(&format!("; {disputed} DISPUTED"));
    }
    told.push('.');
    told
}

fn of_one(stack: &Stack) -> String {
    let name = &stack.name;
    let often = stack.chance.as_ref().map(often);
    let mut told = match (stack.verdict, often) {
        (StackVerdict::Open, _) => format!(
            "`{name}` can't be stacked: it rests on something loose; `strongback loose` tells what would settle it"
        ),
        (StackVerdict::Unmeasured, _) => {
            let why = stack.remark.as_ref().map(remark);
            format!("`{name}` can't be stacked: {}", why.unwrap_or_default())
        }
        (StackVerdict::Misses, None) => {
            format!("`{name}` MISSES as drawn, and nothing behind it states a tolerance")
        }
        (StackVerdict::Misses, Some(often)) => {
            format!("`{name}` MISSES as drawn; it fits in {often}")
        }
        (StackVerdict::AtRisk, Some(often)) => {
            format!("`{name}` is AT RISK: it fits in {often}")
        }
        (StackVerdict::Fits | StackVerdict::NotJudged, Some(often)) => {
            format!("`{name}` fits in {often}")
        }
        (_, None) => format!(
            "`{name}` is not judged: nothing behind it states a tolerance; as drawn it fits"
        ),
    };
    if !stack.disputed.is_empty() {
        told.push_str(&format!("; DISPUTED by {}", stack.disputed.join(", ")));
    }
    told.push('.');
    told
}

/// `fits`, `AT RISK`, `MISSES`, `not judged` or `OPEN`, and whether it is disputed.
pub(super) fn word(stack: &Stack) -> String {
    let word = match stack.verdict {
        StackVerdict::Fits => "fits",
        StackVerdict::AtRisk => "AT RISK",
        StackVerdict::Misses => "MISSES",
        StackVerdict::NotJudged => "not judged",
        StackVerdict::Open => "OPEN",
        StackVerdict::Unmeasured => "NOT MEASURED",
    };
    if stack.disputed.is_empty() {
        word.to_owned()
    } else {
        format!("{word}, DISPUTED")
    }
}

const AT_RISK: &str = "AT RISK: as drawn it fits, but in fewer than 99.73 % of builds.";
const MISSES: &str = "MISSES: as drawn it doesn't fit.";
const OPEN: &str = "OPEN: it rests on something loose and can't be stacked.";
const DISPUTED: &str =
    "DISPUTED: it rests on figures that contradict each other; `strongback odds` tells which.";

/// What the words mean of which some must-fit has one.
pub(super) fn meanings(stacks: &[Stack]) -> Vec<&'static str> {
    let has = |verdict| stacks.iter().any(|one| one.verdict == verdict);
    let disputed = stacks.iter().any(|one| !one.disputed.is_empty());
    let all = [
        (has(StackVerdict::AtRisk), AT_RISK),
        (has(StackVerdict::Misses), MISSES),
        (has(StackVerdict::Open), OPEN),
        (disputed, DISPUTED),
    ];
    let told = all.into_iter().filter(|(is, _)| *is);
    told.map(|(_, meaning)| meaning).collect()
}

/// What the words of the verdict on one must-fit mean, where it doesn't say so itself.
pub(super) fn meanings_of_one(stacks: &[Stack]) -> Vec<&'static str> {
    let mut meanings = meanings(stacks);
    meanings.retain(|meaning| [AT_RISK, DISPUTED].contains(meaning));
    meanings
}

/// What the figures of measures mean that are in no builder's everyday words.
pub(super) fn figures_meant<'m>(
    measures: impl Iterator<Item = &'m StackedMeasure> + Clone,
) -> String {
    let varying = |measure: &&StackedMeasure| {
        let sampled = measure.sampled.as_ref();
        sampled.is_some_and(|sampled| sampled.sd > 0.0)
    };
    let mut varied = measures.filter(varying);
    let all = varied.clone();
    let any = |is: fn(&StackedMeasure) -> bool| all.clone().any(is);
    let told = [
        (
            any(|measure| measure.corners.is_some()),
            "Corners: every figure off by all of its tolerance, each to the side that takes the measure furthest, and the true \
             equations solved there.",
        ),
        (
            varied.next().is_some(),
            "Skewness: 0 where builds lie alike to both sides of the mean, more where the longer tail lies at greater figures.",
        ),
        (
            any(|measure| measure.capability.cp.is_some()),
            "Cp: the room between the two limits over six standard deviations.",
        ),
        (
            any(|measure| measure.capability.cpk.is_some()),
            "Cpk: the room from the mean to the nearer limit over three standard deviations, so that at 1 three of them just fit in.",
        ),
    ];
    let told = told.iter().filter(|(is, _)| *is);
    told.map(|(_, meant)| *meant).collect::<Vec<_>>().join(" ")
}

/// `99.2 % of builds (standard error 0.06 %, 20000 sampled)`.
fn often(chance: &Chance) -> String {
    let of = chance.of;
    match chance.bound {
        Some(bound) if chance.fitting == of => format!(
            "each of {of} sampled builds (so in more than {} of all, with 95 % confidence)",
            percent(1.0 - bound, bound)
        ),
        Some(_) => format!("none of {of} sampled builds"),
        None => format!(
            "{} of builds (standard error {}, {of} sampled)",
            percent(chance.share, chance.standard_error),
            percent(chance.standard_error, chance.standard_error)
        ),
    }
}

/// A share with as many places as its error leaves, never rounded up to all or down to none.
fn percent(share: f64, error: f64) -> String {
    let places = (1.0 - (100.0 * error).log10().floor()).clamp(0.0, 4.0);
    let step = 10.0_f64.powf(-places);
    let mut value = 100.0 * share;
    if share < 1.0 && value > 100.0 - step {
        value = 100.0 - step;
    }
    if share > 0.0 && value < step {
        value = step;
    }
    format!("{value:.*} %", places as usize)
}

/// A share of builds in a column.
pub(super) fn share_of_builds(chance: &Chance) -> String {
    match chance.bound {
        Some(_) if chance.fitting == chance.of => "all sampled".to_owned(),
        Some(_) => "none sampled".to_owned(),
        None => percent(chance.share, chance.standard_error),
    }
}
