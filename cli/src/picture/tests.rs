//! Whole pictures: what is in them, that it is right, and that nothing a layout may hold breaks them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use resvg::usvg::roxmltree::{Document, Node};
use strongback_model::layout::Layout;
use strongback_model::record::Progress;
use strongback_model::recut::verdicts;
use strongback_model::shift::shift;

use super::sample::{bare, empty, frame, fuselage, prism};
use super::*;

/// A picture with a ribbon.
pub(super) fn drawn(old: &Layout, new: &Layout, view: View) -> String {
    let shift = shift(old, new);
    let recut = verdicts(old, new, &shift, &Progress::default());
    svg(&Drawing {
        before: Some(Before {
            layout: old,
            shift: &shift,
            recut: &recut,
            deviation: "a try",
        }),
        ..Drawing::new(new, view)
    })
}

pub(super) fn of_class<'a>(document: &'a Document<'_>, class: &str) -> Vec<Node<'a, 'a>> {
    document
        .descendants()
        .filter(|node| {
            node.attribute("class")
                .is_some_and(|all| all.split(' ').any(|one| one == class))
        })
        .collect()
}

fn figure(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// Both parsers read it, and no number is none.
pub(super) fn check(svg: &str) {
    let document = Document::parse(svg).expect("well-formed");
    for node in document.descendants() {
        for attribute in node.attributes().filter(|a| !a.name().starts_with("data-")) {
            let text = attribute.value();
            assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
        }
    }
    raster::tree(svg).expect("an SVG");
}

#[test]
fn every_part_is_a_group_with_a_name() {
    let layout = fuselage(0.0);
    for view in View::ALL {
        let svg = svg(&Drawing::new(&layout, view));
        check(&svg);
        let document = Document::parse(&svg).unwrap();
        let groups = of_class(&document, "part");
        assert_eq!(groups.len(), layout.parts.len());
        for part in &layout.parts {
            let group = groups
                .iter()
                .find(|group| group.attribute("data-part") == Some(&part.name));
            let title = group
                .unwrap()
                .children()
                .find(|node| node.has_tag_name("title"))
                .unwrap();
            assert_eq!(title.text(), Some(part.name.as_str()));
            // parts that cover each other are one name, of which a word is a choice: left/right
            let names = |label: &str| {
                let (label, part) = (label.split(' '), part.name.split(' '));
                label.clone().count() == part.clone().count()
                    && label
                        .zip(part)
                        .all(|(choice, word)| choice.split('/').any(|one| one == word))
            };
            let labels = document
                .descendants()
                .filter(|node| node.has_tag_name("text") && node.text().is_some_and(names));
            assert_eq!(labels.count(), 1, "{} is named once", part.name);
        }
    }
}

#[test]
fn names_are_escaped_and_come_back() {
    let name = "a<b>&\"c\"'d'\n]]>";
    let mut old = empty();
    old.title = "<title>".to_owned();
    old.parts = vec![frame(name, 10.0), frame("plain\u{1}", 20.0)];
    let mut new = old.clone();
    new.parts[0] = frame(name, 11.0);
    let svg = drawn(&old, &new, View::Side);
    check(&svg);
    let document = Document::parse(&svg).unwrap();
    assert_eq!(
        of_class(&document, "bar")[0].attribute("data-part"),
        Some(name)
    );
    assert_eq!(
        of_class(&document, "unmoved")[0].attribute("data-part"),
        Some("plain\u{fffd}")
    );
    assert!(!svg.contains("a<b>"));
}

#[test]
fn bars_are_as_tall_as_their_shift_and_point_its_way() {
    let mut old = empty();
    old.parts = (0..4)
        .map(|i| frame(&format!("f{i}"), f64::from(i) * 20.0))
        .collect();
    let mut new = old.clone();
    let by = [0.0, 0.25, -0.5, 0.125];
    for (i, by) in by.iter().enumerate() {
        new.parts[i] = frame(&format!("f{i}"), i as f64 * 20.0 + by);
    }
    let svg = drawn(&old, &new, View::Side);
    let document = Document::parse(&svg).unwrap();
    let zero = figure(
        of_class(&document, "zero")[0]
            .first_element_child()
            .unwrap(),
        "y1",
    );
    let bars = of_class(&document, "bar");
    assert_eq!(bars.len(), 3);
    for bar in bars {
        let at: usize = bar.attribute("data-part").unwrap()[1..].parse().unwrap();
        let (top, tall) = (figure(bar, "y"), figure(bar, "height"));
        assert!((tall - ribbon::BARS * by[at].abs() / 0.75).abs() < 2e-3);
        let foot = if by[at] > 0.0 { top + tall } else { top };
        assert!((foot - zero).abs() < 2e-3, "all stand on the zero line");
    }
    for text in ["+1/4", "-1/2", "+1/8"] {
        assert!(svg.contains(&format!(">{text}</text>")), "{text}");
    }
}

#[test]
fn bars_stand_under_their_parts_to_the_ruler() {
    let mut old = empty();
    old.parts = vec![frame("a", 0.0), frame("b", 49.0), frame("c", 100.0)];
    let mut new = old.clone();
    new.parts[1] = frame("b", 50.0);
    let svg = drawn(&old, &new, View::Plan);
    let document = Document::parse(&svg).unwrap();
    let number = |text: &str| {
        let found = document
            .descendants()
            .find(|node| node.has_tag_name("text") && node.text() == Some(text));
        figure(found.unwrap(), "x")
    };
    // Round stations are evenly spaced, and the bar and the ruler's wedge stand at the part's station, 50 in.
    let (zero, fifty, hundred) = (number("0"), number("50"), number("100"));
    assert!((fifty - 0.5 * (zero + hundred)).abs() < 2e-3);
    let bar = of_class(&document, "bar")[0];
    let middle = figure(bar, "x") + 0.5 * figure(bar, "width");
    assert!((middle - fifty).abs() < 2e-3, "{middle} {fifty}");
    let wedge = document
        .descendants()
        .find(|node| node.attribute("data-mark") == Some("b"));
    let path = wedge.unwrap().attribute("d").unwrap();
    assert!(
        path.starts_with(&format!("M{} ", sheet::number(fifty))),
        "{path}"
    );
    // 100 in at the scale told, which is on the paper too
    assert!(svg.contains("1 : 12.5 at a width of 262 mm<"), "the scale");
    assert!((hundred - zero - 2540.0 / 12.5).abs() < 4e-3);
}

#[test]
fn added_and_dropped_parts_have_their_own_signs() {
    let old = fuselage(0.0);
    let mut new = old.clone();
    new.parts.retain(|part| part.name != "battery box");
    new.parts.push(bare("antenna", [2000.0, 0.0, 300.0]));
    let svg = drawn(&old, &new, View::Side);
    check(&svg);
    let document = Document::parse(&svg).unwrap();
    let names = |class: &str| -> Vec<String> {
        let nodes = of_class(&document, class);
        nodes
            .iter()
            .filter(|node| !node.has_tag_name("g"))
            .map(|node| node.attribute("data-part").unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        (names("bar"), names("unmoved").len()),
        (vec![], old.parts.len() - 1)
    );
    assert_eq!(names("added"), ["antenna"]);
    assert_eq!(names("dropped"), ["battery box"]);
    let ghosts = of_class(&document, "ghost");
    assert_eq!(ghosts.len(), 1);
    assert_eq!(ghosts[0].attribute("data-ghost"), Some("battery box"));
    assert!(svg.contains("No part moves along the station axis."));
}

#[test]
fn where_all_shifts_lead_sideways_the_ribbon_tells_these() {
    let mut old = empty();
    old.parts = vec![frame("a", 0.0), frame("b", 40.0)];
    let mut new = old.clone();
    new.parts[1]
        .features
        .iter_mut()
        .for_each(|feature| feature.at_mm[1] -= 25.4);
    let svg = drawn(&old, &new, View::Side);
    let document = Document::parse(&svg).unwrap();
    assert_eq!(of_class(&document, "bar").len(), 1);
    assert!(svg.contains("↓ shift left") && !svg.contains("forward</text>"));
    assert!(
        svg.contains("No part moves along the station axis.") && svg.contains("b, -1 in (left)")
    );
    // along the fuselage as long as nothing shifts further another way
    for feature in &mut new.parts[1].features {
        feature.at_mm[0] += 25.4;
    }
    let svg = drawn(&old, &new, View::Side);
    assert!(svg.contains("↑ shift aft") && svg.contains("b, -1 in (left)"));
}

#[test]
fn neighbours_that_shift_alike_share_a_figure() {
    let svg = drawn(&fuselage(0.0), &fuselage(-0.625), View::Side);
    assert!(svg.contains(">-5/8, 18 parts</text>"));
}

#[test]
fn highlighted_parts_have_a_broad_outline() {
    let layout = fuselage(0.0);
    let highlight = ["panel frame".to_owned(), "no such part".to_owned()];
    let svg = svg(&Drawing {
        highlight: &highlight,
        id: "x<1>-",
        ..Drawing::new(&layout, View::Side)
    });
    check(&svg);
    let document = Document::parse(&svg).unwrap();
    let picked = of_class(&document, "picked");
    assert_eq!(picked.len(), 1);
    assert_eq!(picked[0].attribute("id"), Some("x1-side-part-1"));
    let others = of_class(&document, "part");
    let broadest = others
        .iter()
        .filter(|part| part.attribute("id") != picked[0].attribute("id"))
        .map(|part| figure(*part, "stroke-width"))
        .fold(0.0, f64::max);
    assert!(figure(picked[0], "stroke-width") > 2.0 * broadest);
}

#[test]
fn a_thin_sheet_edge_on_is_still_drawn() {
    let mut layout = empty();
    let mut far = frame("far", 150.0);
    far.solids.clear();
    let mut sheet = bare("sheet", [0.0; 3]);
    let corners = vec![
        [0.0, -400.0, 0.0],
        [0.0, 400.0, 0.0],
        [0.0, 400.0, 700.0],
        [0.0, -400.0, 700.0],
    ];
    sheet.solids = vec![prism(corners, [0.5, 0.0, 0.0])];
    layout.parts = vec![sheet, far];
    let svg = svg(&Drawing::new(&layout, View::Side));
    let document = Document::parse(&svg).unwrap();
    let group = of_class(&document, "part")[0];
    assert!(figure(group, "stroke-width") >= 0.15);
    assert!(
        group
            .children()
            .any(|node| node.has_tag_name("path") && node.attribute("fill").is_none())
    );
    // the other one has no metal: crosses at its features
    assert!(
        of_class(&document, "part")[1]
            .children()
            .any(|node| node.has_tag_name("path"))
    );
}

#[test]
fn nothing_and_no_place() {
    let mut layout = empty();
    for view in View::ALL {
        let svg = svg(&Drawing::new(&layout, view));
        check(&svg);
        assert!(svg.contains("Nothing to draw"));
    }
    layout.parts = vec![
        frame("a", 0.0),
        bare("lost", [f64::NAN, 0.0, f64::INFINITY]),
        bare("far", [1e300, 0.0, 0.0]),
    ];
    let svg = svg(&Drawing::new(&layout, View::Side));
    check(&svg);
    assert!(svg.contains("Not drawn, as their place is not known: 2 of the parts."));
}

#[test]
fn a_thousand_parts() {
    let mut layout = empty();
    layout.parts = (0..1000)
        .map(|i| frame(&format!("frame {i}"), f64::from(i) * 0.2))
        .collect();
    let svg = svg(&Drawing::new(&layout, View::Side));
    check(&svg);
    let document = Document::parse(&svg).unwrap();
    assert_eq!(of_class(&document, "part").len(), 1000);
    assert!(svg.contains("Drawn, but not named for want of room: "));
}

#[test]
fn says_that_it_approves_nothing() {
    let svg = svg(&Drawing::new(&fuselage(0.0), View::Side));
    let text: String = Document::parse(&svg)
        .unwrap()
        .descendants()
        .filter_map(|node| node.text())
        .collect();
    let text: Vec<&str> = text.split_whitespace().collect();
    let caution: Vec<&str> = crate::command::CAUTION.split_whitespace().collect();
    assert!(text.concat().contains(&caution.concat()), "{text:?}");
}

#[test]
fn a_picture_has_ink_in_it() {
    let svg = drawn(&fuselage(0.0), &fuselage(0.5), View::Plan);
    let png = png(&svg, 700).unwrap();
    // White paper alone packs to a few kB.
    assert!(png.len() > 20_000, "{} bytes", png.len());
}
