//! A bound on set-ups for jobs of several corners, where the states of exact shares multiply.
//!
//! The values of one attribute, in practice the tools, are split into groups, as for the shares. Part *k*
//! keeps every operation and all precedence, counts taking up a tool of its group in full, any other tool not
//! at all, and place and car state by an even share. A beam bounds each part, cut short or not. The parts add up
//! to at most the true cost of any order, so the sum of their bounds is a bound.

use super::beam::Beam;
use super::precedence::members;
use super::problem::{Attribute, Problem, Setups};

/// A bound on the set-ups of any order, from so many groups; each part keeps `width` states at a time and is
/// given up above what a known order costs in it. Nought where the problem has no attributes.
pub(crate) fn grouped_bound<const W: usize>(
    problem: &Problem,
    known: &[usize],
    groups: usize,
    width: usize,
    keep_going: &mut dyn FnMut() -> bool,
) -> i64 {
    let used = |at: usize| {
        let mut values = problem.attributes[at].values.clone();
        values.sort_unstable();
        values.dedup();
        values
    };
    let Some(tool) = (0..problem.attributes.len()).max_by_key(|&at| (used(at).len(), at)) else { return 0 };
    let tools = used(tool);
    let groups = groups.clamp(1, tools.len().max(1));
    let before: Vec<(usize, usize)> = (0..problem.len())
        .flat_map(|then| members(problem.precedence.before(then)).map(move |first| (first, then)))
        .collect();
    let mut sum = 0;
    for group in 0..groups {
        let group: Vec<usize> = tools.iter().copied().skip(group).step_by(groups).collect();
        let Some(part) = part(problem, tool, &group, groups, &before) else { return 0 };
        sum += Beam::<W>::of(&part).search(part.setups(known), width, keep_going).bound;
        // What is not looked at any more counts nothing; the bound holds without it.
        if !keep_going() {
            break;
        }
    }
    let groups = i64::try_from(groups).unwrap_or(i64::MAX);
    (sum + groups - 1).div_euclid(groups)
}

/// The part for a group of tools, its times multiplied by the number of groups so that shares stay whole.
fn part(
    problem: &Problem,
    tool: usize,
    group: &[usize],
    groups: usize,
    before: &[(usize, usize)],
) -> Option<Problem> {
    let all = &problem.attributes[tool];
    let factor = i64::try_from(groups).ok()?;
    let enter = |to: usize| {
        let from = (0..all.times.len()).filter(|&from| from != to);
        from.map(|from| all.times[from][to]).min().unwrap_or(0) * factor
    };
    // Value 0 stands for every tool outside the group.
    let value = |tool: usize| group.iter().position(|&known| known == tool).map_or(0, |at| at + 1);
    let row = |from: usize| -> Vec<i64> {
        let to = |to: usize| if to == 0 || to == from { 0 } else { enter(group[to - 1]) };
        (0..=group.len()).map(to).collect()
    };
    let own = Attribute {
        times: (0..=group.len()).map(row).collect(),
        start: value(all.start),
        values: all.values.iter().map(|&tool| value(tool)).collect(),
    };
    let places = problem.attributes.iter().enumerate().filter(|(at, _)| *at != tool);
    let attributes = places.map(|(_, place)| place.clone()).chain([own]).collect();
    Problem::new(vec![0; problem.len()], before, Setups::Attributes(attributes), Vec::new()).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two places 100 apart and three tools of 10, 20 and 30: whatever is grouped, no bound lies above the
    /// shortest of all orders, and one group gives that itself.
    #[test]
    fn no_bound_is_above_the_best_order() {
        let attribute = |times, values| Attribute { times, start: 0, values };
        let tools = vec![vec![0, 10, 20, 30], vec![0, 0, 20, 30], vec![0, 10, 0, 30], vec![0, 10, 20, 0]];
        let attributes = vec![
            attribute(vec![vec![0, 100], vec![100, 0]], vec![0, 1, 1, 0, 0, 1]),
            attribute(tools, vec![1, 2, 1, 3, 2, 3]),
        ];
        let before = [(0, 1), (2, 3), (1, 4)];
        let problem =
            Problem::new(vec![1; 6], &before, Setups::Attributes(attributes), Vec::new()).expect("sound");
        let best = orders(6).into_iter().filter(|order| problem.is_valid(order));
        let best = best.min_by_key(|order| problem.setups(order)).expect("one is valid");
        let bound = |groups, width| grouped_bound::<2>(&problem, &best, groups, width, &mut || true);
        assert_eq!(bound(1, 64), problem.setups(&best));
        for groups in 1..=3 {
            for width in [1, 2, 64] {
                let bound = bound(groups, width);
                assert!((1..=problem.setups(&best)).contains(&bound), "{groups} groups, {width}: {bound}");
            }
        }
    }

    fn orders(count: usize) -> Vec<Vec<usize>> {
        (0..count).fold(vec![Vec::new()], |orders: Vec<Vec<usize>>, next| {
            let put = |order: &Vec<usize>, at: usize| {
                let mut order = order.clone();
                order.insert(at, next);
                order
            };
            orders.iter().flat_map(|order| (0..=order.len()).map(move |at| put(order, at))).collect()
        })
    }
}
