//! Which operations belong together, as those of one corner of a car do.

use super::problem::Problem;

/// Parts the operations into clusters: along the direct precedences, those first whose two ends have most in
/// common (of all that comes before or after either, the part that does so for both), as long as no cluster
/// holds more than `most` operations. Clusters in the order of their first operations; those below a quarter of
/// the largest, which hold what belongs nowhere, are left out.
pub(crate) fn clusters(problem: &Problem, most: usize) -> Vec<Vec<usize>> {
    let count = problem.len();
    let mut edges: Vec<(u64, usize, usize)> = Vec::new();
    for then in 0..count {
        for first in super::precedence::members(problem.precedence.before(then)) {
            let between = problem.precedence.after(first).iter().zip(problem.precedence.before(then));
            if between.into_iter().all(|(after, before)| after & before == 0) {
                edges.push((likeness(problem, first, then), first, then));
            }
        }
    }
    edges.sort_unstable_by(|a, b| b.0.cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut root: Vec<usize> = (0..count).collect();
    let mut size = vec![1usize; count];
    for (_, first, then) in edges {
        let (a, b) = (find(&mut root, first), find(&mut root, then));
        if a != b && size[a] + size[b] <= most {
            root[b] = a;
            size[a] += size[b];
        }
    }
    let mut clusters: Vec<Vec<usize>> = vec![Vec::new(); count];
    for op in 0..count {
        let root = find(&mut root, op);
        clusters[root].push(op);
    }
    let largest = clusters.iter().map(Vec::len).max().unwrap_or(0);
    clusters.retain(|cluster| !cluster.is_empty() && cluster.len() * 4 >= largest);
    clusters.sort_unstable();
    clusters
}

/// A cluster with whatever comes before or after at least half of it: what is done for the whole car. Left out is
/// what comes before or after less than a tenth: it can be done nearly at any time, which multiplies the states.
pub(crate) fn with_common(problem: &Problem, cluster: &[usize]) -> Vec<usize> {
    let related = |op: usize| {
        let with = |&&other: &&usize| {
            problem.precedence.precedes(op, other) || problem.precedence.precedes(other, op)
        };
        let related = cluster.iter().filter(with).count();
        let least =
            if cluster.binary_search(&op).is_ok() { cluster.len() / 10 } else { cluster.len().div_ceil(2) };
        related >= least
    };
    (0..problem.len()).filter(|&op| related(op)).collect()
}

/// What two operations have in common, in millionths.
fn likeness(problem: &Problem, a: usize, b: usize) -> u64 {
    let row = |op: usize| -> Vec<u64> {
        let rows = problem.precedence.before(op).iter().zip(problem.precedence.after(op));
        let mut row: Vec<u64> = rows.map(|(before, after)| before | after).collect();
        row[op / 64] |= 1 << (op % 64);
        row
    };
    let (mut both, mut either) = (0u64, 0u64);
    for (a, b) in row(a).into_iter().zip(row(b)) {
        both += u64::from((a & b).count_ones());
        either += u64::from((a | b).count_ones());
    }
    both * 1_000_000 / either.max(1)
}

fn find(root: &mut [usize], mut at: usize) -> usize {
    while root[at] != at {
        root[at] = root[root[at]];
        at = root[at];
    }
    at
}

#[cfg(test)]
mod tests {
    use super::super::problem::Setups;
    use super::*;

    /// Two chains of four between a first and a last operation: each chain is a cluster, and both have the
    /// first and the last in common.
    #[test]
    fn chains_are_clusters() {
        let chain = |at: usize| [(0, at), (at, at + 1), (at + 1, at + 2), (at + 2, at + 3), (at + 3, 9)];
        let before: Vec<(usize, usize)> = chain(1).into_iter().chain(chain(5)).collect();
        let none = Setups::Matrix(vec![vec![0; 10]; 10]);
        let problem = Problem::new(vec![1; 10], &before, none, Vec::new()).expect("sound");
        let clusters = clusters(&problem, 5);
        assert_eq!(clusters.len(), 2, "{clusters:?}");
        for (cluster, chain) in clusters.iter().zip([1..5, 5..9]) {
            assert!(chain.clone().all(|op| cluster.contains(&op)), "{clusters:?}");
            let with = with_common(&problem, cluster);
            assert_eq!(with, [0].into_iter().chain(chain).chain([9]).collect::<Vec<_>>());
        }
    }
}
