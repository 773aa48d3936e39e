//! Curves over travel and steering.

use super::corner::Corner;
use super::outputs::Outputs;
use super::tracker::Tracker;
use super::trouble::Trouble;

/// Outputs on a grid of wheel travels and rack travels. What cannot be reached holds the reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Curves {
    travels: Vec<f64>,
    racks: Vec<f64>,
    cells: Vec<Option<Result<Outputs, Trouble>>>,
}

impl Curves {
    /// Wheel travels, mm, as asked for.
    #[must_use]
    pub fn travels(&self) -> &[f64] {
        &self.travels
    }

    /// Rack travels, mm, as asked for.
    #[must_use]
    pub fn racks(&self) -> &[f64] {
        &self.racks
    }

    /// The outputs, or why there are none, at the places of a travel and a rack travel in their
    /// lists; `None` outside the grid.
    #[must_use]
    pub fn get(&self, travel: usize, rack: usize) -> Option<&Result<Outputs, Trouble>> {
        if rack >= self.racks.len() {
            return None;
        }
        self.cells.get(travel * self.racks.len() + rack)?.as_ref()
    }

    fn put(&mut self, travel: usize, rack: usize, cell: Result<Outputs, Trouble>) {
        let place = travel * self.racks.len() + rack;
        if let Some(slot) = self.cells.get_mut(place) {
            *slot = Some(cell);
        }
    }
}

/// The places of `values` in the order in which they are best visited: from nought upward, then
/// from nought downward.
fn both_ways(values: &[f64]) -> [Vec<usize>; 2] {
    let mut up: Vec<usize> = (0..values.len()).filter(|i| values[*i] >= 0.0).collect();
    let mut down: Vec<usize> =
        (0..values.len()).filter(|i| values[*i] < 0.0 || values[*i].is_nan()).collect();
    up.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    down.sort_by(|a, b| values[*b].total_cmp(&values[*a]));
    [up, down]
}

impl Corner {
    /// Outputs at every pair of a wheel travel and a rack travel (mm), by continuation from the
    /// design position: along the travel first, from each height along the rack. Once a direction
    /// ends, what lies beyond gets the same reason.
    #[must_use]
    pub fn curves(&self, travels: &[f64], racks: &[f64]) -> Curves {
        let mut out = Curves {
            travels: travels.to_vec(),
            racks: racks.to_vec(),
            cells: vec![None; travels.len() * racks.len()],
        };
        let rack_ways = both_ways(racks);
        for way in both_ways(travels) {
            let mut spine = self.tracker();
            let mut ended: Option<Trouble> = None;
            for row in way {
                if ended.is_none() {
                    ended = spine.advance(travels[row], 0.0).err();
                }
                match &ended {
                    Some(trouble) => {
                        for rack in 0..racks.len() {
                            out.put(row, rack, Err(trouble.clone()));
                        }
                    }
                    None => {
                        for way in &rack_ways {
                            self.along_rack(spine, (row, travels[row]), way, &mut out);
                        }
                    }
                }
            }
        }
        out
    }

    fn along_rack(&self, mut tracker: Tracker<'_>, row: (usize, f64), way: &[usize], out: &mut Curves) {
        tracker.forget();
        let mut ended: Option<Trouble> = None;
        for &place in way {
            let cell = match &ended {
                Some(trouble) => Err(trouble.clone()),
                None => match tracker.advance(row.1, out.racks[place]) {
                    Ok(solved) => self.outputs(&solved),
                    Err(trouble) => {
                        ended = Some(trouble.clone());
                        Err(trouble)
                    }
                },
            };
            out.put(row.0, place, cell);
        }
    }
}
