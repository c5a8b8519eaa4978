//! Faults planted at random in sound models, and found again. In: a tapered cone of bays with turned longerons and one canted
//! frame, drawn by proptest; statements that contradict it, statements taken out, a measurement misread. Out: each of them is
//! found and named, by how much, and nothing else is.

use crate::model_text;
use std::collections::BTreeSet;
use std::fmt::Write;

use crate::model_text::{assembled, document, solved};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_model::document::Document;
use strongback_model::looseness::motions;
use strongback_model::odds::drops;
use strongback_model::reconcile::CandidateKind;
use strongback_model::source::{Text, read};

/// A contradiction: what is stated once more, and how far off, in sixteenths of an inch or of a degree.
#[derive(Clone, Debug)]
enum Second {
    Station { bay: usize, off: i32 },
    Height { bay: usize, off: i32 },
    Cant { off: i32 },
}

/// A model and what is wrong with it.
#[derive(Clone, Debug)]
struct Plan {
    /// Lengths of the bays in sixteenths of an inch.
    bays: Vec<u32>,
    /// Heights that the frames lose from one to the next, in sixteenths.
    taper: u32,
    /// Of the last frame, in degrees.
    cant: i32,
    seconds: Vec<Second>,
    /// Bays whose rod, and whose floor, has nothing to end at.
    loose_rods: BTreeSet<usize>,
    loose_floors: BTreeSet<usize>,
    /// What each tape reads off, in hundredths of its uncertainty.
    noise: Vec<i32>,
    /// Which of the measurements is misread, and by how many inches.
    blunder: Option<(prop::sample::Index, i32)>,
}

fn off() -> impl Strategy<Value = i32> {
    (1..40_i32, any::<bool>()).prop_map(|(size, less)| if less { -size } else { size })
}

fn plans() -> impl Strategy<Value = Plan> {
    (2..6_usize).prop_flat_map(|count| {
        let bay = 0..count;
        let second = prop_oneof![
            (bay.clone(), off()).prop_map(|(bay, off)| Second::Station { bay, off }),
            (bay.clone(), off()).prop_map(|(bay, off)| Second::Height { bay, off }),
            off().prop_map(|off| Second::Cant { off }),
        ];
        (
            prop::collection::vec(120..360_u32, count),
            4..24_u32,
            -12..13_i32,
            prop::collection::vec(second, 0..4),
            prop::collection::btree_set(bay.clone(), 0..3),
            prop::collection::btree_set(bay, 0..3),
            prop::collection::vec(-60..61_i32, 2 * count),
            prop::option::of((
                any::<prop::sample::Index>(),
                prop_oneof![Just(-1), Just(1), Just(2)],
            )),
        )
            .prop_map(
                |(bays, taper, cant, seconds, loose_rods, loose_floors, noise, blunder)| Plan {
                    bays,
                    taper,
                    cant,
                    seconds,
                    loose_rods,
                    loose_floors,
                    noise,
                    blunder,
                },
            )
    })
}

/// Uncertainty of a tape, in inches.
const TAPE: f64 = 1.0 / 32.0;

impl Plan {
    /// The names of what is measured, with what a true tape would read, in inches.
    fn measured(&self) -> Vec<(String, String, String, f64)> {
        let mut list = Vec::new();
        let mut station = 0.0;
        for (k, bay) in self.bays.iter().enumerate() {
            let bay = f64::from(*bay) / 16.0;
            station += bay;
            let (next, before) = (k + 1, format!("frame {k}"));
            list.push((format!("bay {k}"), before, format!("frame {next}"), bay));
            list.push((
                format!("to frame {next}"),
                "frame 0".to_owned(),
                format!("frame {next}"),
                station,
            ));
        }
        list
    }

    /// The measurement that is misread.
    fn misread(&self) -> Option<String> {
        let (which, _) = self.blunder.as_ref()?;
        Some(which.get(&self.measured()).0.clone())
    }

    /// The names of what is stated a second time, each with its figure off, in millimetres or degrees; a thing once only.
    fn contradictions(&self) -> Vec<(String, f64, String)> {
        let mut list: Vec<(String, f64, String)> = Vec::new();
        for second in &self.seconds {
            let (name, off, relation) = match second {
                Second::Station { bay, off } => {
                    let by = f64::from(self.bays[*bay]) / 16.0 + f64::from(*off) / 16.0;
                    (
                        format!("second station {bay}"),
                        f64::from(*off) / 16.0 * 25.4,
                        format!(
                            r#"Spaced(from: "frame {bay}.web_fwd", to: "frame {}.foot", by: "{by} in")"#,
                            bay + 1
                        ),
                    )
                }
                Second::Height { bay, off } => (
                    format!("second height {bay}"),
                    f64::from(*off) / 16.0 * 25.4,
                    format!(
                        r#"Spaced(from: "datum.waterline", to: "rod {bay}.axis", by: "{} in")"#,
                        8.0 + f64::from(*off) / 16.0
                    ),
                ),
                Second::Cant { off } => (
                    "second cant".to_owned(),
                    f64::from(*off) / 16.0,
                    format!(
                        r#"Canted(face: "frame {}.web_fwd", by: "{} deg")"#,
                        self.bays.len(),
                        f64::from(self.cant) + f64::from(*off) / 16.0
                    ),
                ),
            };
            if list.iter().all(|(known, ..)| *known != name) {
                list.push((name, off, relation));
            }
        }
        list
    }

    /// The parts that are loose.
    fn loose(&self) -> BTreeSet<String> {
        let rods = self.loose_rods.iter().map(|bay| format!("rod {bay}"));
        rods.chain(self.loose_floors.iter().map(|bay| format!("floor {bay}")))
            .collect()
    }

    fn document(&self) -> Document {
        let (mut dimensions, mut parts, mut relations) =
            (String::new(), String::new(), String::new());
        let last = self.bays.len();
        for k in 0..=last {
            let height = 24.0 - f64::from(self.taper) * k as f64 / 16.0;
            let turn = if k == last {
                ", turn: (pitch: Find)"
            } else {
                ""
            };
            let at = if k == 0 {
                "fs: 0, bl: 0, wl: 0"
            } else {
                "bl: 0, wl: 0"
            };
            let _ = write!(
                parts,
                r#""frame {k}": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: "30 in", height: "{height} in", holes: {{"foot": (wl: 0)}}, at: ({at}){turn}),"#
            );
        }
        for (k, bay) in self.bays.iter().enumerate() {
            let next = k + 1;
            let by = f64::from(*bay) / 16.0;
            let _ = write!(
                dimensions,
                r#""bay {k}": (is: "{by} in", within: "1/32 in"),"#
            );
            let _ = write!(
                parts,
                r#""longeron {k}": Bar(runs: FwdAft, length: Find, depth: "3/4 in", breadth: "3/4 in", at: (bl: 9), turn: (pitch: Find), sides: Both),
                   "floor {k}": Plate(lies: Flat, thickness: "0.025 in", length: Find(near: "10 in"), width: "20 in", at: (bl: 0)),
                   "rod {k}": Tube(runs: FwdAft, length: Find(near: "10 in"), diameter: "3/4 in", wall: "0.049 in", at: (bl: "1 in")),"#
            );
            let _ = write!(
                relations,
                r#""station {k}": Spaced(from: "frame {k}.web_fwd", to: "frame {next}.foot", by: "[bay {k}]"),
                   "longeron {k} starts": Reaches(end: "longeron {k}.fwd_end", face: "frame {k}.web_aft"),
                   "longeron {k} ends": Touches("longeron {k}.aft_end", "frame {next}.web_fwd"),
                   "longeron {k} at start": Touches("longeron {k}.fwd_end", "frame {k}.top"),
                   "longeron {k} at end": Touches("longeron {k}.aft_end", "frame {next}.top"),
                   "floor {k} height": Spaced(from: "datum.waterline", to: "floor {k}.top", by: "4 in"),
                   "floor {k} starts": Reaches(end: "floor {k}.fwd", face: "frame {k}.aft"),
                   "rod {k} height": Spaced(from: "datum.waterline", to: "rod {k}.axis", by: "8 in"),
                   "rod {k} starts": Reaches(end: "rod {k}.fwd_end", face: "frame {k}.fwd"),"#
            );
            for (part, end, loose) in [
                ("rod", "aft_end", &self.loose_rods),
                ("floor", "aft", &self.loose_floors),
            ] {
                if !loose.contains(&k) {
                    let _ = write!(
                        relations,
                        r#""{part} {k} ends": Touches("{part} {k}.{end}", "frame {next}.web_fwd"),"#
                    );
                }
            }
        }
        let _ = write!(
            relations,
            r#""cant": Canted(face: "frame {last}.web_fwd", by: "{} deg"),"#,
            self.cant
        );
        for (name, _, relation) in self.contradictions() {
            let _ = write!(relations, r#""{name}": (is: {relation}, trust: Doubtful),"#);
        }
        let misread = self.misread();
        let mut measurements = String::new();
        for ((name, from, to, true_reading), noise) in self.measured().into_iter().zip(&self.noise)
        {
            let mut reads = true_reading + f64::from(*noise) / 100.0 * TAPE;
            if misread.as_ref() == Some(&name) {
                reads += self.blunder.as_ref().map_or(0.0, |(_, by)| f64::from(*by));
            }
            let _ = write!(
                measurements,
                r#""{name}": (from: "{from}.web_fwd", to: "{to}.foot", is: "{reads:.6} in", uncertainty: "{TAPE} in"),"#
            );
        }
        document(
            "Inch",
            &format!(
                "dimensions: {{ {dimensions} }}, parts: {{ {parts} }}, relations: {{ {relations} }}, measurements: {{ {measurements} }}"
            ),
        )
    }
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(11), failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn what_is_planted_is_found_and_named_and_nothing_else_is(plan in plans()) {
        let document = plan.document();
        let assembly = assembled(&document);
        let solved = solved(&assembly);
        let layout = solved.layout();
        prop_assert!(layout.waiting.is_empty());

        // contradictions: each by its name, with its miss, and to be ended by dropping it alone
        let mut planted = plan.contradictions();
        planted.sort_by(|a, b| a.0.cmp(&b.0));
        let mut found = solved.contradictions();
        found.sort_by(|a, b| a.statement.cmp(&b.statement));
        let names = |list: &[(String, f64, String)]| -> Vec<String> { list.iter().map(|one| one.0.clone()).collect() };
        let told: Vec<String> = found.iter().map(|odd| odd.statement.clone()).collect();
        prop_assert_eq!(names(&planted), told);
        for (odd, (name, off, _)) in found.iter().zip(&planted) {
            prop_assert!((odd.miss.abs() - off.abs()).abs() < 1e-6, "{} misses by {} and not {}", name, odd.miss, off);
            prop_assert_eq!(odd.angle, name == "second cant");
        }
        let groups = drops(&document, &solved, 100);
        for (name, ..) in &planted {
            let alone = groups.iter().filter(|group| group.contradictions.contains(name))
                .any(|group| group.sets.iter().any(|set| matches!(&set[..], [one] if one.name == *name)));
            prop_assert!(alone || groups.iter().any(|group| group.contradictions.len() > 1), "{}: {:#?}", name, groups);
        }

        // freedoms: each of its part alone, and what would settle it does
        let loose = motions(&document, &solved, &layout);
        let moving: BTreeSet<String> = loose.iter().flat_map(|motion| motion.motion.parts.iter().cloned()).collect();
        prop_assert_eq!(loose.len(), plan.loose().len());
        prop_assert_eq!(moving, plan.loose());
        if let Some(motion) = loose.first() {
            prop_assert!(!motion.settled_by.is_empty(), "{:#?}", motion);
            let mut with = document.clone();
            let relation = motion.settled_by[0].replace('…', "400 in");
            with.relations.push(Text::unplaced("it".to_owned()), read(&relation).unwrap()).unwrap();
            let after = model_text::layout(&with);
            prop_assert_eq!(after.loose.len() + 1, loose.len(), "{}", relation);
            prop_assert_eq!(after.at_odds.len(), planted.len(), "{}", relation);
        }

        // the misread tape
        let reconciled = solved.reconcile().unwrap();
        let suspects: Vec<String> = reconciled.suspects.iter().map(|suspect| {
            let first = &suspect.one_of[0];
            assert_eq!(first.kind, CandidateKind::Measurement, "{suspect:#?}");
            first.name.clone()
        }).collect();
        prop_assert_eq!(suspects, plan.misread().into_iter().collect::<Vec<_>>());
    }
}
