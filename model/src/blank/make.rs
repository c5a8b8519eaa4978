//! From a part's plan to its blank. In: an assembled part at the solution, and the rules. Out: the blank, or why there is none.

use super::bent::Bending;
use super::not_drawn::NotDrawn;
use super::plane::sampled;
use super::reach::into_bends;
use super::skin::roll_out;
use super::unfold::{Laid, Unfolded, unfold};
use super::{Bend, Blank, LeftOut, Leg, Radius, Reliefs, Unmade};
use crate::assembly::{AssembledPart, Solved};
use crate::layout::PlacedHole;
use crate::part::{Edge, Plan, Role, Sizes, Strip, Web};
use crate::pattern::{BendLine, Loop, Mark, Pattern};
use crate::relation::Hand;
use crate::trade::bending::{flats, relief, setback_number};
use crate::words::{Axis, Side};

/// What a blank is made with.
struct Making<'a> {
    part: &'a AssembledPart,
    gauge: f64,
    radius: Option<Radius>,
    bending: Bending,
    trim: f64,
    holes: Vec<PlacedHole>,
    not_drawn: NotDrawn,
}

impl Solved<'_> {
    /// The blank of a part; nothing where it isn't made of sheet.
    pub(super) fn blank(&self, part: &AssembledPart) -> Option<Result<Blank, Unmade>> {
        let sizes = self.at().sizes(part);
        let mut plan = part.stated.as_ref()?.kind().plan(&sizes)?;
        if part.hand == Hand::Mirrored {
            plan = plan.mirrored();
        }
        Some(
            self.made(part, &sizes, &plan)
                .map_err(|(why, help)| Unmade {
                    part: part.name.clone(),
                    why,
                    help: help.to_owned(),
                }),
        )
    }

    fn made(
        &self,
        part: &AssembledPart,
        sizes: &Sizes,
        plan: &Plan,
    ) -> Result<Blank, (String, &'static str)> {
        let rules = &self.assembly.bending;
        let gauge = part.sizes.iter().find(|size| size.role == Role::Gauge);
        let gauge = gauge.map_or(0.0, |size| sizes.value(&size.name));
        let bends = match plan {
            Plan::Web(web) => web.flanges.iter().any(Option::is_some),
            Plan::Strip(strip) => !strip.bends.is_empty(),
            Plan::Disc { .. } | Plan::Skin { .. } => false,
        };
        let radius = if bends {
            Some(self.radius(part, sizes, gauge)?)
        } else {
            None
        };
        let bent_to = radius.as_ref().map_or(0.0, |radius| radius.radius_mm);
        let making = Making {
            part,
            gauge,
            radius,
            bending: Bending {
                thickness: gauge,
                radius: bent_to,
                allowance: rules.allowance,
                relief: rules
                    .relief_mm
                    .unwrap_or_else(|| relief::diameter(gauge, bent_to)),
            },
            trim: rules.trim_mm,
            holes: self.holes(part),
            not_drawn: NotDrawn::of(self.assembly, part),
        };
        match plan {
            Plan::Web(web) => making.web(web),
            Plan::Strip(strip) => making.strip(strip),
            Plan::Disc { diameter, through } => Ok(making.disc(*diameter, *through)),
            Plan::Skin { from, to, cants } => making.skin([*from, *to], *cants),
        }
    }
}

/// From where the pattern of a flat part is seen.
fn from_side(side: Side) -> &'static str {
    match side {
        Side::Fwd => "fwd",
        Side::Aft => "aft",
        Side::Left => "the left",
        Side::Right => "the right",
        Side::Down => "below",
        Side::Up => "above",
    }
}

impl Making<'_> {
    fn web(self, web: &Web) -> Result<Blank, (String, &'static str)> {
        let unfolded = unfold(web, &self.bending).map_err(|why| {
            (
                why.to_owned(),
                "list the corners of the outline in order round the piece",
            )
        })?;
        let names = names(web);
        let name = |side: usize| names.get(side).cloned().unwrap_or_default();
        let mut bends = Vec::new();
        let mut lines = Vec::new();
        let mut marks = Vec::new();
        for laid in &unfolded.flanges {
            let flange = format!("{} flange", name(laid.side));
            let line = self.bend_line(laid, &flange);
            let sight = laid.across(self.bending.radius).map(Into::into);
            bends.push(self.bend(&line, laid.bent.leg, laid.bent.flat));
            lines.push(line);
            marks.push(Mark::Line {
                name: format!("sight line, {flange}"),
                ends_mm: sight,
            });
        }
        let left_out = unfolded.left_out.iter().map(|(side, why)| LeftOut {
            flange: format!("{} flange", name(*side)),
            why: (*why).to_owned(),
        });
        let left_out = left_out.collect();
        let unmarked = self.mark_holes(web, &unfolded, &mut marks);
        let into_bends = into_bends(web, &unfolded, &marks);
        let reliefs = (!unfolded.reliefs.is_empty()).then_some(Reliefs {
            count: unfolded.reliefs.len(),
            diameter_mm: self.bending.relief,
        });
        let openings = web.openings.iter().map(|opening| {
            let mut line = Loop::straight(opening.iter().copied());
            // what is cut out runs clockwise
            if line.area_mm2() > 0.0 {
                line.corners.reverse();
            }
            line
        });
        let openings = openings.collect();
        let seen_from = from_side(web.seen_from());
        let blank = self.blank(seen_from, unfolded.outline, bends, lines, marks);
        let mut blank = Blank {
            reliefs,
            left_out,
            unmarked,
            into_bends,
            ..blank
        };
        blank.pattern.openings = openings;
        Ok(blank)
    }

    fn bend_line(&self, laid: &Laid, flange: &str) -> BendLine {
        let bent = &laid.bent;
        BendLine {
            name: flange.to_owned(),
            ends_mm: laid.across(0.5 * bent.allowance).map(Into::into),
            allowance_mm: bent.allowance,
            angle_deg: bent.angle.to_degrees(),
            up: laid.up,
            radius_mm: self.bending.radius,
        }
    }

    /// A bend as it is marked, the leg beyond it with its flat.
    fn bend(&self, line: &BendLine, leg: f64, flat: f64) -> Bend {
        let Bending {
            thickness, radius, ..
        } = self.bending;
        let angle = line.angle_deg.to_radians();
        let [[x0, y0], [x1, y1]] = line.ends_mm;
        let far = flat + line.allowance_mm;
        Bend {
            name: line.name.clone(),
            angle_deg: line.angle_deg,
            up: line.up,
            leg_mm: leg,
            flat_mm: flat,
            setback_number: setback_number(angle),
            setback_mm: crate::trade::bending::setback(angle, radius, thickness),
            allowance_mm: line.allowance_mm,
            deduction_mm: self.bending.allowance.deduction(angle, radius, thickness),
            length_mm: (x1 - x0).hypot(y1 - y0),
            from_edge_mm: [flat, far, far - radius],
        }
    }

    /// Marks the holes drilled through the web; tells which lie in a bend or beyond.
    fn mark_holes(&self, web: &Web, unfolded: &Unfolded, marks: &mut Vec<Mark>) -> Vec<String> {
        let flat: Vec<[f64; 2]> = unfolded.web.iter().map(|at| [at.x, at.y]).collect();
        let [u, v] = web.axes.map(Axis::index);
        let mut unmarked = Vec::new();
        for hole in &self.holes {
            let at = [hole.at_own_mm[u], hole.at_own_mm[v]];
            let through = !web.axes.contains(&hole.along);
            if through && crate::layout::lies_in(&flat, at) {
                marks.push(Mark::Centre {
                    name: hole.name.clone(),
                    at_mm: at,
                    diameter_mm: hole.diameter_mm,
                });
            } else {
                unmarked.push(hole.name.clone());
            }
        }
        unmarked
    }

    fn strip(self, strip: &Strip) -> Result<Blank, (String, &'static str)> {
        let bent: Vec<_> = strip
            .bends
            .iter()
            .map(|(angle, up)| (self.bending.bent(*angle, 0.0), *up))
            .collect();
        let setbacks: Vec<f64> = bent.iter().map(|(bent, _)| bent.setback).collect();
        let sizes: Vec<f64> = strip.legs.iter().map(|(_, leg)| *leg).collect();
        let flats = flats(&sizes, &setbacks);
        let legs: Vec<Leg> = strip
            .legs
            .iter()
            .zip(&flats)
            .map(|((name, leg), flat)| Leg {
                name: (*name).to_owned(),
                leg_mm: *leg,
                flat_mm: *flat,
            })
            .collect();
        if let Some(leg) = legs.iter().find(|leg| leg.flat_mm <= 0.0) {
            let why = format!("its bends take up all of its {}", leg.name);
            return Err((why, "a smaller radius, or wider legs"));
        }
        let (mut bends, mut lines, mut marks) = (Vec::new(), Vec::new(), Vec::new());
        let mut across = 0.0;
        for (number, ((bent, up), leg)) in bent.iter().zip(&legs).enumerate() {
            across += leg.flat_mm;
            let name = format!("bend {}", number + 1);
            let level = |at: f64| [[0.0, at], [strip.length, at]];
            let line = BendLine {
                name: name.clone(),
                ends_mm: level(across + 0.5 * bent.allowance),
                allowance_mm: bent.allowance,
                angle_deg: bent.angle.to_degrees(),
                up: *up,
                radius_mm: self.bending.radius,
            };
            let mut bend = self.bend(&line, leg.leg_mm, leg.flat_mm);
            let far = across + bent.allowance;
            let sight = far - self.bending.radius;
            bend.from_edge_mm = [across, far, sight];
            marks.push(Mark::Line {
                name: format!("sight line, {name}"),
                ends_mm: level(sight),
            });
            bends.push(bend);
            lines.push(line);
            across = far;
        }
        across += legs.last().map_or(0.0, |leg| leg.flat_mm);
        let length = strip.length;
        let outline = Loop::straight([[0.0, 0.0], [length, 0.0], [length, across], [0.0, across]]);
        let unmarked = self.holes.iter().map(|hole| hole.name.clone()).collect();
        let blank = self.blank(strip.seen_from, outline, bends, lines, marks);
        Ok(Blank {
            legs,
            unmarked,
            ..blank
        })
    }

    fn skin(self, stations: [f64; 2], cants: [f64; 2]) -> Result<Blank, (String, &'static str)> {
        let Some(surface) = self.part.contour.clone() else {
            return Err((
                "it follows no contour".to_owned(),
                "name one of the file's `contours`",
            ));
        };
        let [from, to] = stations;
        let ends =
            [(from, cants[0]), (to, cants[1])].map(|(at, cant)| Edge::new(&surface, at, cant));
        let Some((strip, development)) = roll_out(&surface, ends, self.gauge) else {
            return Err((
                "rolled out flat, its outline crosses itself".to_owned(),
                "do its two ends cross, or does its contour fold?",
            ));
        };
        let mut outline = strip.outline();
        if self.part.hand == Hand::Mirrored {
            // the left-hand one, seen from the inside too: its lower end above
            outline.reverse();
            for at in &mut outline {
                at[1] = -at[1];
            }
        }
        let outline = Loop::straight(outline);
        let unmarked = self.holes.iter().map(|hole| hole.name.clone()).collect();
        let blank = self.blank("inside", outline, Vec::new(), Vec::new(), Vec::new());
        Ok(Blank {
            development: Some(development),
            unmarked,
            ..blank
        })
    }

    fn disc(self, diameter: f64, through: Axis) -> Blank {
        let axes = through.others().map(Axis::index);
        let marks = self.holes.iter().filter(|hole| hole.along == through);
        let marks = marks.map(|hole| Mark::Centre {
            name: hole.name.clone(),
            at_mm: axes.map(|axis| hole.at_own_mm[axis]),
            diameter_mm: hole.diameter_mm,
        });
        let marks = marks.collect();
        let outline = Loop::circle([0.0, 0.0], 0.5 * diameter, true);
        let seen_from = match through {
            Axis::Station => "aft",
            Axis::ButtockLine => "the left",
            Axis::Waterline => "above",
        };
        self.blank(seen_from, outline, Vec::new(), Vec::new(), marks)
    }

    fn blank(
        self,
        seen_from: &str,
        outline: Loop,
        bends: Vec<Bend>,
        lines: Vec<BendLine>,
        marks: Vec<Mark>,
    ) -> Blank {
        let points = sampled(&outline);
        let size_mm = [0, 1].map(|axis| {
            let along = points.iter().map(|at| at[axis]);
            let most = along.clone().fold(f64::NEG_INFINITY, f64::max);
            (most - along.fold(f64::INFINITY, f64::min)).max(0.0)
        });
        Blank {
            part: self.part.name.clone(),
            kind: self.part.word.to_owned(),
            alloy: self.part.alloy.map(|alloy| alloy.name.to_owned()),
            gauge_mm: self.gauge,
            seen_from: seen_from.to_owned(),
            radius: self.radius,
            size_mm,
            with_trim_mm: size_mm.map(|size| size + 2.0 * self.trim),
            bends,
            legs: Vec::new(),
            reliefs: None,
            left_out: Vec::new(),
            development: None,
            unmarked: Vec::new(),
            into_bends: Vec::new(),
            not_drawn: self.not_drawn,
            pattern: Pattern {
                part: self.part.name.clone(),
                gauge_mm: self.gauge,
                outline,
                openings: Vec::new(),
                bends: lines,
                marks,
            },
        }
    }
}

/// What the sides of a web are called: by the way they look, and by number where several look alike.
fn names(web: &Web) -> Vec<String> {
    let count = web.outline.len();
    let words: Vec<&str> = (0..count)
        .map(|at| {
            let (Some(from), Some(to)) = (web.outline.get(at), web.outline.get((at + 1) % count))
            else {
                return "";
            };
            let outward = [to[1] - from[1], from[0] - to[0]];
            let which = usize::from(outward[1].abs() > outward[0].abs());
            let axis = web.axes[which];
            let [less, more] = axis.sides();
            if outward[which] < 0.0 { less } else { more }.face()
        })
        .collect();
    let alike = |word: &str| words.iter().filter(|other| **other == word).count();
    words
        .iter()
        .enumerate()
        .map(|(at, word)| {
            let number = words.iter().take(at + 1).filter(|w| *w == word).count();
            if alike(word) > 1 {
                format!("{word} {number}")
            } else {
                (*word).to_owned()
            }
        })
        .collect()
}
