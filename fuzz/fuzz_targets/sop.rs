#![no_main]
#[path = "../../crates/axlestand-plan/tests/instances/sop.rs"]
mod sop;

use axlestand_plan::sequence::{Effort, Liking, Problem, Setups, solve};

/// What is solved within a blink.
const LITTLE: Effort = Effort { rounds: 1, moves: 200, width: 8, states: 500, steps: 5 };

libfuzzer_sys::fuzz_target!(|text: &str| {
    let Ok(sop::Sop { matrix, before }) = sop::read(text) else { return };
    let count = matrix.len();
    let Ok(problem) = Problem::new(vec![0; count], &before, Setups::Matrix(matrix), Vec::new()) else { return };
    if count <= 12 {
        let solution = solve(&problem, None, &Liking::default(), &LITTLE, &mut || true);
        assert!(solution.bound <= solution.total && solution.order.len() == count);
    }
});
