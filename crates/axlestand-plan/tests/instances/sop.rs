//! The TSPLIB 95 form of a sequential ordering problem.

/// The most operations that are read.
const MOST: usize = 2_000;

/// What a file says.
pub(crate) struct Sop {
    /// Set-up times from row to column; 0 where the order is fixed, and on the diagonal.
    pub(crate) matrix: Vec<Vec<i64>>,
    /// Pairs (first, then).
    pub(crate) before: Vec<(usize, usize)>,
}

/// Reads a full matrix, -1 where the column comes before the row.
///
/// # Errors
/// A sentence that says what is missing or no number, and where in the matrix.
pub(crate) fn read(text: &str) -> Result<Sop, String> {
    let (_, section) = text.split_once("EDGE_WEIGHT_SECTION").ok_or("there is no EDGE_WEIGHT_SECTION")?;
    let mut words = section.split_whitespace();
    let size = words.next().ok_or("the matrix has no size")?;
    let count: usize = size.parse().map_err(|_| format!("the size of the matrix is '{size}', no number"))?;
    if count > MOST {
        return Err(format!("a matrix of {count} rows: at most {MOST} are read"));
    }
    let mut sop = Sop { matrix: vec![vec![0; count]; count], before: Vec::new() };
    for (row, times) in sop.matrix.iter_mut().enumerate() {
        for (column, time) in times.iter_mut().enumerate() {
            let place = || format!("row {}, column {}", row + 1, column + 1);
            let word = words.next().ok_or_else(|| format!("the matrix ends before {}", place()))?;
            let read: i64 = word.parse().map_err(|_| format!("'{word}' in {} is no number", place()))?;
            if read < 0 {
                sop.before.push((column, row));
            } else if row != column {
                *time = read;
            }
        }
    }
    Ok(sop)
}
