//! One name for parts that are drawn as one, such as both hands of a rail seen from the side. In: their names.
//! Out: `rail L/R` for `rail L` and `rail R`; nothing if they differ in more than one word, or have none in common.

/// More than this many are named one by one.
const MOST: usize = 4;

/// The names as one, in their order.
pub(super) fn joined(names: &[&str]) -> Option<String> {
    let words: Vec<Vec<&str>> = names
        .iter()
        .map(|name| name.split_whitespace().collect())
        .collect();
    let (first, others) = words.split_first()?;
    if others.is_empty() {
        return names.first().map(|name| name.trim().to_owned());
    }
    if first.len() < 2
        || names.len() > MOST
        || others.iter().any(|other| other.len() != first.len())
    {
        return None;
    }
    let mut at_odds =
        (0..first.len()).filter(|&at| others.iter().any(|other| other[at] != first[at]));
    let at = at_odds.next()?;
    if at_odds.next().is_some() {
        return None;
    }
    let alternatives: Vec<&str> = words.iter().map(|name| name[at]).collect();
    let mut whole = first.clone();
    let choice = alternatives.join("/");
    whole[at] = &choice;
    Some(whole.join(" "))
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn one_word_may_differ() {
        assert_eq!(joined(&["rail L", "rail R"]).as_deref(), Some("rail L/R"));
        assert_eq!(
            joined(&["left lower longeron", "right lower longeron"]).as_deref(),
            Some("left/right lower longeron")
        );
        assert_eq!(joined(&["firewall"]).as_deref(), Some("firewall"));
    }

    #[test]
    fn others_keep_their_names() {
        assert_eq!(joined(&["rail L", "strap R"]), None);
        assert_eq!(joined(&["rail L", "rail"]), None);
        assert_eq!(joined(&["floor", "stiffener"]), None, "no word in common");
        assert_eq!(joined(&["rail", "rail"]), None, "two of one name");
        assert_eq!(joined(&["a 1", "a 2", "a 3", "a 4", "a 5"]), None);
        assert_eq!(joined(&[]), None);
    }
}
