//! Other words of the trade, and the file's own for them: common practice, no source. In: a word that isn't known, and those that
//! would do. Out: the one of them that says the same.

/// Each with the words that may stand for it, the likeliest first. Small letters on the left.
const ALIKE: &[(&str, &[&str])] = &[
    // kinds of part
    ("sheet", &["Plate", "Skin"]),
    ("doubler", &["Plate"]),
    ("gusset", &["Plate"]),
    ("panel", &["Plate", "Skin"]),
    ("strap", &["Plate"]),
    ("floor", &["Plate"]),
    ("bulkhead", &["Frame"]),
    ("former", &["Frame"]),
    ("bracket", &["Angle"]),
    ("clip", &["Angle"]),
    ("cleat", &["Angle"]),
    ("stiffener", &["Angle", "Stringer"]),
    ("extrusion", &["Angle"]),
    ("hat", &["Stringer"]),
    ("pipe", &["Tube"]),
    ("bow", &["BentTube"]),
    ("rod", &["Bar"]),
    ("shim", &["Spacer"]),
    ("packer", &["Spacer"]),
    ("washer", &["Spacer"]),
    ("bush", &["Spacer"]),
    ("bushing", &["Spacer"]),
    // relations and must-fits
    ("aligned", &["Flush", "InLine"]),
    ("coplanar", &["Flush", "OnePlane"]),
    ("touching", &["Against", "Touches"]),
    ("contact", &["Against"]),
    ("distance", &["Spaced"]),
    ("offset", &["Spaced"]),
    ("riveted", &["Seam"]),
    ("bolted", &["BoltedTo"]),
    ("coaxial", &["InLine"]),
    ("collinear", &["InLine", "OneLine"]),
    ("perpendicular", &["Square"]),
    ("horizontal", &["Level"]),
    ("vertical", &["Upright", "UpDown"]),
    ("plumb", &["Upright"]),
    ("tilted", &["Canted"]),
    ("symmetric", &["MirrorOf"]),
    ("mirror", &["MirrorOf"]),
    ("equal", &["SameSize"]),
    ("clearance", &["Clear"]),
    ("gap", &["Clear", "Between"]),
    // changes
    ("flip", &["Reverse"]),
    ("remove", &["Drop"]),
    ("delete", &["Drop"]),
    // sides and faces
    ("front", &["Fwd", "fwd"]),
    ("forward", &["Fwd", "fwd"]),
    ("back", &["Aft", "aft"]),
    ("rear", &["Aft", "aft"]),
    ("port", &["Left", "left"]),
    ("starboard", &["Right", "right"]),
    ("upper", &["Up", "top", "upper"]),
    ("lower", &["Down", "bottom", "lower"]),
    ("top", &["Up"]),
    ("bottom", &["Down"]),
    ("lengthwise", &["FwdAft"]),
    ("crosswise", &["Across"]),
    // fields
    ("gauge", &["thickness"]),
    ("thick", &["thickness"]),
    ("material", &["alloy"]),
    ("rotation", &["turn"]),
    ("position", &["at"]),
];

/// The candidate that is another word for `word`, or for one of its parts between underscores.
pub(super) fn alike<'a>(word: &str, candidates: &[&'a str]) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let own = |word: &str| ALIKE.iter().find(|(other, _)| *other == word);
    let there = |meant: &str| candidates.iter().copied().find(|one| *one == meant);
    if let Some((_, all)) = own(&lower) {
        return all.iter().find_map(|meant| there(meant));
    }
    let pieces: Vec<&str> = lower.split('_').collect();
    pieces.iter().enumerate().find_map(|(at, piece)| {
        let (before, after) = (&pieces[..at], pieces.get(at + 1..)?);
        let (_, all) = own(piece)?;
        all.iter()
            .find_map(|meant| there(&[before, &[*meant], after].concat().join("_")))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_trades_other_words_lead_to_the_files() {
        assert_eq!(alike("Doubler", &["Frame", "Plate"]), Some("Plate"));
        assert_eq!(alike("Aligned", &["Against", "Flush"]), Some("Flush"));
        assert_eq!(alike("Rear", &["Fwd", "Aft"]), Some("Aft"));
        assert_eq!(
            alike("web_back", &["web_fwd", "web_aft", "web"]),
            Some("web_aft")
        );
        assert_eq!(alike("gauge", &["lies", "thickness"]), Some("thickness"));
    }

    #[test]
    fn only_a_word_that_would_do_is_offered() {
        assert_eq!(alike("Doubler", &["Flush", "Against"]), None);
        assert_eq!(alike("propeller", &["Plate"]), None);
        assert_eq!(alike("web_back", &["fwd", "aft"]), None);
    }

    #[test]
    fn no_word_stands_twice() {
        for (at, (word, _)) in ALIKE.iter().enumerate() {
            assert!(ALIKE[..at].iter().all(|(other, _)| other != word), "{word}");
        }
    }
}
