//! One corner of the car, checked and put together.

use super::findings::{BadCorner, Finding, check};
use super::layout::Member;
use super::mechanism::{Holding, Mechanism};
use super::newton::{Ended, solve};
use super::outputs::{InstantAxis, Outputs, outputs};
use super::row::{Row, matrix, residuals, response};
use super::spec::CornerSpec;
use super::tracker::Tracker;
use super::trouble::{Extended, Input, Trouble, in_line};
use super::values::Values;
use crate::mathematics::{Dual, Lu, Pose, Twist};

/// A position of a corner that closes all its links in the car's own assembly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solved {
    /// Where the knuckle is.
    pub pose: Pose,
    /// Where it was asked to be.
    pub input: Input,
    /// How far from a toggle: the determinant of the equations over that at the design position, 1
    /// there, 0 at a toggle.
    pub margin: f64,
    /// Newton factorisations it took.
    pub steps: usize,
}

/// How the corner moves at its design position, for judging steps, and which sign its assembly has.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reference {
    pub(crate) det: f64,
    /// Turn (rad) and shift (mm) of the knuckle per mm of travel and per mm of rack travel.
    turn: [f64; 2],
    shift: [f64; 2],
}

impl Reference {
    /// Whether `pose`, with determinant `det`, is in the car's assembly and no farther from the
    /// neighbour than twice what the design position's rates give for the step, plus 2° and 5 mm.
    #[inline]
    pub(crate) fn near(&self, from: &Solved, input: Input, pose: &Pose, det: f64) -> bool {
        let (dz, ds) = ((input.travel - from.input.travel).abs(), (input.rack - from.input.rack).abs());
        let turn = 0.035 + 2.0 * (self.turn[0] * dz + self.turn[1] * ds);
        let shift = 5.0 + 2.0 * (self.shift[0] * dz + self.shift[1] * ds);
        let turn = turn.min(1.5);
        let moved = pose.origin - from.pose.origin;
        det * self.det > 0.0
            && 1.0 - pose.turn.cos_from(&from.pose.turn) <= turn * turn / 2.0
            && moved.dot(moved) <= shift * shift
    }
}

/// A suspension corner as a mechanism: the knuckle on five constraints, driven by wheel travel
/// (vertical motion of the wheel centre relative to the body) and rack travel.
#[derive(Debug, Clone)]
pub struct Corner {
    pub(crate) spec: CornerSpec,
    pub(crate) values: Values<f64>,
    pub(crate) mechanism: Mechanism<f64>,
    pub(crate) lifted: Mechanism<Dual<f64>>,
    pub(crate) members: [Member; 6],
    pub(crate) reference: Reference,
    pub(crate) turned: Vec<Vec<(usize, Row)>>,
    design: Solved,
    doubts: Vec<Finding>,
}

impl Corner {
    /// Checks a description and puts it together at its adjusters' settings.
    ///
    /// # Errors
    /// [`BadCorner`] with every finding, where something is missing, impossible or looks like a
    /// wrong unit, side or order; where the links do not hold the wheel at the design position;
    /// where the adjusters' settings cannot be reached from there.
    pub fn new(spec: CornerSpec) -> Result<Self, BadCorner> {
        let findings = check(&spec);
        if findings.iter().any(Finding::stops) {
            return Err(BadCorner { findings });
        }
        let refuse = |finding| {
            let mut all = findings.clone();
            all.push(finding);
            BadCorner { findings: all }
        };
        let values = Values::of(&spec);
        let members = spec.layout.members();
        let bare = Mechanism::assemble(&spec, &Values { setting: [0.0; _], ..values });
        let Some((start, reference)) = at_design(&bare) else {
            let pose = Pose::at(bare.centre);
            return Err(refuse(Finding::NotHeld { members: in_line(&bare.holding.rows, &members, &pose) }));
        };
        let mechanism = Mechanism::assemble(&spec, &values);
        let mut corner = Self {
            lifted: mechanism.map(Dual::fixed),
            mechanism,
            members,
            reference,
            turned: Vec::new(),
            design: start,
            doubts: findings.clone(),
            values,
            spec,
        };
        corner.design = corner
            .settle(&start)
            .map_err(|trouble| refuse(Finding::AdjustersDoNotFit { trouble: trouble.to_string() }))?;
        corner.turned = corner.adjuster_rows();
        Ok(corner)
    }

    /// Brings the adjusters from nought to their settings in small steps.
    fn settle(&self, start: &Solved) -> Result<Solved, Trouble> {
        if self.values.setting.iter().all(|s| *s == 0.0) {
            return Ok(*start);
        }
        let mut at = *start;
        for part in 1..=8_u32 {
            let share = f64::from(part) / 8.0;
            let setting = self.values.setting.map(|s| s * share);
            let m = Mechanism::assemble(&self.spec, &Values { setting, ..self.values });
            at = self.attempt(&m.holding.rows, &at.pose, &at, at.input, 8.0)?;
        }
        Ok(at)
    }

    /// One solution from `start`, accepted only if it is near `from`; `slack` widens "near".
    pub(crate) fn attempt(
        &self,
        rows: &[Row; 6],
        start: &Pose,
        from: &Solved,
        input: Input,
        slack: f64,
    ) -> Result<Solved, Trouble> {
        let judged = if slack > 0.0 { Input { travel: input.travel + slack, ..input } } else { input };
        match solve(rows, start) {
            Ended::Closed { pose, det, steps } => {
                if self.reference.near(from, judged, &pose, det) {
                    let margin = det / self.reference.det;
                    return Ok(Solved { pose, input, margin, steps });
                }
                let moved = pose.origin - from.pose.origin;
                let turned_deg = pose.turned_from_deg(&from.pose);
                Err(Trouble::WrongBranch { asked: input, turned_deg, moved_mm: moved.norm() })
            }
            Ended::Singular => {
                let members = in_line(rows, &self.members, start);
                Err(Trouble::Singular { at: input, members })
            }
            Ended::Stuck { rows_left } => {
                let most = rows_left.iter().fold(0.0_f64, |m, r| m.max(r.abs()));
                let held = self.members.iter().zip(rows_left).filter(|(_, r)| r.abs() >= 0.5 * most);
                let members = held.map(|(m, _)| *m).collect();
                Err(Trouble::Unreachable { asked: input, reached: from.input, members })
            }
        }
    }

    /// The position at no travel and no rack travel, adjusters at their settings.
    #[must_use]
    pub fn design(&self) -> &Solved {
        &self.design
    }

    /// The description it was made from.
    #[must_use]
    pub fn spec(&self) -> &CornerSpec {
        &self.spec
    }

    /// What is doubtful about the description, though it can be computed.
    #[must_use]
    pub fn doubts(&self) -> &[Finding] {
        &self.doubts
    }

    /// A tracker that starts at the design position and warm-starts each position from the one
    /// before.
    #[must_use]
    pub fn tracker(&self) -> Tracker<'_> {
        Tracker::new(self)
    }

    /// The position at a wheel travel and rack travel (mm), by continuation from the design
    /// position.
    ///
    /// # Errors
    /// [`Trouble`] naming the members that stop it.
    pub fn solve(&self, travel: f64, rack: f64) -> Result<Solved, Trouble> {
        self.tracker().advance(travel, rack)
    }

    /// The position found from an arbitrary `start`, accepted only as a neighbour of a known
    /// position: same sign of the determinant and a bounded turn and shift.
    ///
    /// # Errors
    /// [`Trouble::WrongBranch`] for another assembly, else [`Trouble`] naming the members.
    pub fn solve_from(
        &self,
        start: &Pose,
        neighbour: &Solved,
        travel: f64,
        rack: f64,
    ) -> Result<Solved, Trouble> {
        if !(start.is_finite() && travel.is_finite() && rack.is_finite()) {
            return Err(Trouble::NotANumber { what: "the start or the wanted position" });
        }
        let input = Input { travel, rack };
        let held = self.mechanism.holding.driven(travel, rack);
        let found = self.attempt(&held.rows, start, neighbour, input, 0.0)?;
        let fresh = Lu::of(matrix(&held.rows, &found.pose)).map_or(0.0, |lu| lu.det());
        if self.reference.near(neighbour, input, &found.pose, fresh) {
            Ok(Solved { margin: fresh / self.reference.det, ..found })
        } else {
            Err(Trouble::Singular { at: input, members: in_line(&held.rows, &self.members, &found.pose) })
        }
    }

    /// The equations at a solved position, with their factors.
    pub(crate) fn linear_at(&self, at: &Solved) -> Result<(Holding<f64>, Lu<6>), Trouble> {
        let held = self.mechanism.holding.driven(at.input.travel, at.input.rack);
        let mut lu = Lu::blank();
        self.factorise(at, &held, matrix(&held.rows, &at.pose), &mut lu)?;
        Ok((held, lu))
    }

    /// The factors of the equations at a solved position from their `slopes` there, put where they
    /// are wanted.
    #[inline(always)]
    pub(crate) fn factorise<const N: usize>(
        &self,
        at: &Solved,
        held: &Holding<f64>,
        slopes: [[f64; N]; N],
        lu: &mut Lu<N>,
    ) -> Result<(), Trouble> {
        let whole = lu.factorise(slopes);
        if whole && (lu.det() / self.reference.det).abs() > 1e-5 {
            return Ok(());
        }
        Err(Trouble::Singular { at: at.input, members: in_line(&held.rows, &self.members, &at.pose) })
    }

    /// Everything measured at a solved position.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle, [`Trouble::BarOverCentre`] where the bar link does not
    /// reach, [`Trouble::NotANumber`] should a result have no value.
    pub fn outputs(&self, at: &Solved) -> Result<Outputs, Trouble> {
        let (held, lu) = self.linear_at(at)?;
        let out = outputs(&self.mechanism, &held, &self.lifted, &at.pose, &lu);
        if self.mechanism.bar.is_some() && out.bar_turn.is_none() {
            return Err(Trouble::BarOverCentre { asked: at.input });
        }
        if out.is_finite() { Ok(out) } else { Err(Trouble::NotANumber { what: "a wheel angle or rate" }) }
    }

    /// Position and outputs at a travel and rack travel (mm), within the damper's and drive axle's
    /// ends where those are known.
    ///
    /// # Errors
    /// [`Trouble`] of every kind.
    pub fn at(&self, travel: f64, rack: f64) -> Result<(Solved, Outputs), Trouble> {
        let solved = self.solve(travel, rack)?;
        let out = self.outputs(&solved)?;
        self.within_ends(solved.input, &out)?;
        Ok((solved, out))
    }

    /// Whether damper and drive axle allow a position.
    ///
    /// # Errors
    /// [`Trouble::OverExtended`] with the part and by how much.
    pub fn within_ends(&self, asked: Input, out: &Outputs) -> Result<(), Trouble> {
        let limits = &self.spec.limits;
        let ends = [
            (Extended::DamperOpen, out.damper_length, limits.damper_open, 1.0),
            (Extended::DamperClosed, out.damper_length, limits.damper_closed, -1.0),
            (Extended::AxleOut, out.axle_plunge, limits.plunge_out, 1.0),
            (Extended::AxleIn, out.axle_plunge, limits.plunge_in.map(|x| -x), -1.0),
        ];
        for (part, value, limit, sign) in ends {
            if let (Some(value), Some(limit)) = (value, limit) {
                let by_mm = (value - limit) * sign;
                if by_mm > 1e-6 {
                    return Err(Trouble::OverExtended { asked, part, by_mm });
                }
            }
        }
        Ok(())
    }

    /// The axis about which the knuckle turns as the wheel travels; `None` for a pure shift.
    ///
    /// # Errors
    /// [`Trouble::Singular`] at a toggle.
    pub fn travel_axis(&self, at: &Solved) -> Result<Option<InstantAxis>, Trouble> {
        let (m, lu) = self.linear_at(at)?;
        Ok(InstantAxis::of(&at.pose, &response(&m.rows, &at.pose, &lu, 5)))
    }

    /// How far the links are from closing at a solved position, mm: the largest residual.
    #[must_use]
    pub fn closure(&self, at: &Solved) -> f64 {
        let m = self.mechanism.holding.driven(at.input.travel, at.input.rack);
        residuals::<f64, 6>(&m.rows, &at.pose).iter().fold(0.0, |worst, r| f64::max(worst, r.abs()))
    }
}

/// The design position of a mechanism without adjusters and how it moves there; `None` where the
/// links do not hold the wheel: the determinant, scaled by the rows' lengths, is next to nothing, or
/// the knuckle would turn more than a degree per mm of travel, as on an arm of 50 mm.
fn at_design(bare: &Mechanism<f64>) -> Option<(Solved, Reference)> {
    let pose = Pose::at(bare.centre);
    let bare = &bare.holding;
    let plain = matrix(&bare.rows, &pose);
    let lu = Lu::of(plain)?;
    let arm = 100.0;
    let mut size = arm * arm * arm;
    for row in &plain {
        let turn = row[3..].iter().map(|x| x * x / (arm * arm)).sum::<f64>();
        size *= (row[..3].iter().map(|x| x * x).sum::<f64>() + turn).sqrt();
    }
    let firm = (lu.det() / size).abs() > 1e-7;
    let rates = [Some(5), bare.tie]
        .map(|which| which.map_or(Twist::still(), |which| response(&bare.rows, &pose, &lu, which)));
    let reference =
        Reference { det: lu.det(), turn: rates.map(|t| t.turn.norm()), shift: rates.map(|t| t.shift.norm()) };
    let firm = firm && reference.turn[0] < 0.02;
    let input = Input { travel: 0.0, rack: 0.0 };
    firm.then_some((Solved { pose, input, margin: 1.0, steps: 0 }, reference))
}
