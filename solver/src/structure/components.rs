//! Strongly connected components of the graph "row uses a column that belongs to row".
//!
//! In: a pattern and a matching. Out: for each row the number of its component. Method: Tarjan, SIAM J. Comput. 1(2), 1972,
//! 146-160, with an explicit path, because a long structure is a long chain and recursion would run out of stack
//! (petgraph 0.8.3, `tarjan_scc`, recurses).

use super::{Matching, Pattern};

/// The component of a row without a partner, and the visit number of a row not yet visited.
pub(super) const NONE: usize = usize::MAX;

/// For each row its component, numbered so that a component uses lower ones only, and how many there are.
pub(super) fn strong_components(pattern: &Pattern, matching: &Matching) -> (Vec<usize>, usize) {
    let rows = pattern.rows();
    let is_matched = |row: usize| row < rows && matching.col_of(row).is_some();
    let mut component = vec![NONE; rows];
    let mut count = 0;
    let mut visited = 0;
    // Number of the visit, and the lowest such number known to be reachable among rows without a component.
    let mut order = vec![NONE; rows];
    let mut lowest = vec![NONE; rows];
    let mut followed = vec![0; rows];
    let mut open: Vec<usize> = Vec::new();
    let mut path: Vec<usize> = Vec::new();

    for root in 0..rows {
        if order[root] != NONE || !is_matched(root) {
            continue;
        }
        path.push(root);
        while let Some(&row) = path.last() {
            if order[row] == NONE {
                order[row] = visited;
                lowest[row] = visited;
                visited += 1;
                open.push(row);
            }
            if let Some(&col) = pattern.row(row).get(followed[row]) {
                followed[row] += 1;
                if let Some(used) = matching.row_of(col).filter(|&used| is_matched(used)) {
                    if order[used] == NONE {
                        path.push(used);
                    } else if component[used] == NONE {
                        lowest[row] = lowest[row].min(order[used]);
                    }
                }
                continue;
            }
            path.pop();
            if let Some(&user) = path.last() {
                lowest[user] = lowest[user].min(lowest[row]);
            }
            if lowest[row] == order[row] {
                while let Some(member) = open.pop() {
                    component[member] = count;
                    if member == row {
                        break;
                    }
                }
                count += 1;
            }
        }
    }
    (component, count)
}
