//! What a picture shows, before anything has a place on the paper. In: a drawing. Out: its parts in the view, how each stands
//! out, and where those that changed were; in mm of the aircraft.

use std::collections::BTreeSet;

use super::Drawing;
use super::doubts;
use super::look::{self, Emphasis, Look, Place};
use super::subject::{self, Bounds, Subject};
use super::view::View;

/// What is drawn, and how it stands out.
pub(super) struct Scene<'a> {
    pub(super) view: View,
    pub(super) id: String,
    pub(super) subjects: Vec<Subject<'a>>,
    pub(super) looks: Vec<Look>,
    /// Parts that moved or went, where they were.
    pub(super) ghosts: Vec<Subject<'a>>,
    /// Parts whose place is not known.
    pub(super) missing: usize,
    /// Whether what the stations are counted from is where it should be.
    pub(super) datum: Place,
    /// Bounds of all of it.
    pub(super) bounds: Option<[[f64; 2]; 3]>,
}

impl<'a> Scene<'a> {
    /// Gathers what a drawing is to show.
    pub(super) fn of(drawing: &Drawing<'a>) -> Self {
        let view = drawing.view;
        let (subjects, missing) = subject::subjects(drawing.layout, view);
        let mut scene = Scene {
            missing,
            ..Scene::of_subjects(drawing, subjects)
        };
        let changes = look::changes(drawing.before.as_ref());
        scene.ghosts = drawing
            .before
            .iter()
            .flat_map(|before| &before.layout.parts)
            .filter(|part| changes.contains_key(part.name.as_str()))
            .filter_map(|part| subject::subject(part, view))
            .collect();
        let mut bounds = Bounds::default();
        for subject in scene.subjects.iter().chain(&scene.ghosts) {
            bounds.take_all(subject.bounds);
        }
        scene.bounds = bounds.0;
        scene
    }

    /// Of what is to be drawn already, how it stands out; without ghosts and bounds.
    pub(super) fn of_subjects(drawing: &Drawing<'a>, subjects: Vec<Subject<'a>>) -> Self {
        let view = drawing.view;
        let changes = look::changes(drawing.before.as_ref());
        let picked: BTreeSet<&str> = drawing.highlight.iter().map(String::as_str).collect();
        let looks = subjects
            .iter()
            .map(|subject| {
                let name = subject.part.name.as_str();
                Look {
                    place: doubts::place(subject.part, drawing.at_odds),
                    change: changes.get(name).copied().unwrap_or_default(),
                    emphasis: if picked.contains(name) {
                        Emphasis::Picked
                    } else {
                        Emphasis::Plain
                    },
                }
            })
            .collect();
        let kept = drawing
            .id
            .chars()
            .filter(|c| c.is_ascii_alphanumeric() || *c == '-');
        Scene {
            view,
            id: kept.chain(view.aspect().id.chars()).collect(),
            subjects,
            looks,
            ghosts: Vec::new(),
            missing: 0,
            datum: doubts::datum(drawing.layout, drawing.at_odds),
            bounds: None,
        }
    }
}
