//! The order in which named values can be worked out. In: each name with the names its definition uses. Out: an order in which every
//! definition follows what it uses, or the names of a circle. Depth-first search with its own stack (Cormen et al., Introduction to
//! Algorithms, topological sort), so that a long chain of definitions can't exhaust the program's.

use std::collections::HashMap;
use std::fmt;

/// Definitions that stand on one another in a circle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cycle {
    /// The names round the circle: each uses the next, and the last uses the first.
    pub names: Vec<String>,
}

impl fmt::Display for Cycle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.names.as_slice() {
            [only] => write!(f, "`{only}` is defined by itself"),
            [first, rest @ ..] => {
                write!(f, "`{first}` is defined by ")?;
                for name in rest {
                    write!(f, "`{name}`, and that by ")?;
                }
                write!(f, "`{first}` again")
            }
            [] => f.write_str("definitions stand on one another in a circle"),
        }
    }
}

impl std::error::Error for Cycle {}

#[derive(Clone, Copy, PartialEq)]
enum Mark {
    Unseen,
    Open,
    Done,
}

/// Puts definitions, each a name and the names it uses, in an order in which they can be evaluated; gives their indices.
/// Names that aren't defined here are passed over. Of a name defined twice the first counts. The order is that of the list,
/// but for what has to come before.
///
/// # Errors
/// The names of the first circle met.
pub fn order<N: AsRef<str>, U: AsRef<str>>(
    definitions: &[(N, Vec<U>)],
) -> Result<Vec<usize>, Cycle> {
    let mut index: HashMap<&str, usize> = HashMap::with_capacity(definitions.len());
    for (i, (name, _)) in definitions.iter().enumerate() {
        index.entry(name.as_ref()).or_insert(i);
    }
    let mut marks = vec![Mark::Unseen; definitions.len()];
    let mut ordered = Vec::with_capacity(definitions.len());
    for root in 0..definitions.len() {
        if marks.get(root) != Some(&Mark::Unseen) {
            continue;
        }
        // The path from the root: a definition and how many of its names have been followed.
        let mut path = vec![(root, 0)];
        set(&mut marks, root, Mark::Open);
        while let Some((at, followed)) = path.last_mut() {
            let at = *at;
            let used = definitions
                .get(at)
                .and_then(|(_, uses)| uses.get(*followed));
            *followed += 1;
            let Some(used) = used else {
                set(&mut marks, at, Mark::Done);
                ordered.push(at);
                path.pop();
                continue;
            };
            let Some(&next) = index.get(used.as_ref()) else {
                continue;
            };
            match marks.get(next) {
                Some(Mark::Unseen) => {
                    set(&mut marks, next, Mark::Open);
                    path.push((next, 0));
                }
                Some(Mark::Open) => {
                    let circle = path.iter().skip_while(|&&(on_path, _)| on_path != next);
                    let name = |&(i, _): &(usize, usize)| {
                        definitions.get(i).map(|(name, _)| name.as_ref().to_owned())
                    };
                    return Err(Cycle {
                        names: circle.filter_map(name).collect(),
                    });
                }
                Some(Mark::Done) | None => {}
            }
        }
    }
    Ok(ordered)
}

fn set(marks: &mut [Mark], at: usize, mark: Mark) {
    if let Some(slot) = marks.get_mut(at) {
        *slot = mark;
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn what_is_used_comes_first() {
        let definitions = [
            ("a", vec!["c", "elsewhere.length"]),
            ("b", vec![]),
            ("c", vec!["b", "b"]),
            ("d", vec!["a"]),
        ];
        assert_eq!(order(&definitions).unwrap(), [1, 2, 0, 3]);
    }

    #[test]
    fn circles_are_named_in_order() {
        let definitions = [
            ("start", vec!["a"]),
            ("a", vec!["b"]),
            ("b", vec!["c"]),
            ("c", vec!["a"]),
        ];
        let cycle = order(&definitions).unwrap_err();
        assert_eq!(cycle.names, ["a", "b", "c"]);
        assert_eq!(
            cycle.to_string(),
            "`a` is defined by `b`, and that by `c`, and that by `a` again"
        );
        let own = order(&[("bay", vec!["bay"])]).unwrap_err();
        assert_eq!(own.to_string(), "`bay` is defined by itself");
    }

    #[test]
    fn a_long_chain_needs_no_stack() {
        let count = 200_000;
        let definitions: Vec<(String, Vec<String>)> = (0..count)
            .map(|i| {
                (
                    format!("d{i}"),
                    if i + 1 < count {
                        vec![format!("d{}", i + 1)]
                    } else {
                        vec![]
                    },
                )
            })
            .collect();
        let ordered = order(&definitions).unwrap();
        assert_eq!(ordered.first(), Some(&(count - 1)));
        assert_eq!(ordered.len(), count);
    }
}
