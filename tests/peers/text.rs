//! Arrays as text: each line a name, a count and so many numbers. In: such text. Out: the arrays by name.

use std::collections::HashMap;

/// Reads what [`Equations`](super::equations::Equations) and the outside peers write.
///
/// # Errors
/// The line that is not of that shape.
pub fn arrays(text: &str) -> Result<HashMap<String, Vec<f64>>, String> {
    text.lines()
        .map(|line| {
            let wrong = || format!("not a name, a count and so many numbers: {line:.80}");
            let mut words = line.split_ascii_whitespace();
            let name = words.next().ok_or_else(wrong)?;
            let count: usize = words
                .next()
                .and_then(|w| w.parse().ok())
                .ok_or_else(wrong)?;
            let values: Result<Vec<f64>, _> = words.map(str::parse).collect();
            let values = values.map_err(|_| wrong())?;
            match values.len() == count {
                true => Ok((name.to_owned(), values)),
                false => Err(wrong()),
            }
        })
        .collect()
}
