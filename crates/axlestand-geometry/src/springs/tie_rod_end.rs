//! A tie-rod end replaced by another.

use axlestand_quantity::{Uncertain, UncertainError};

/// A tie-rod end and how far it is screwed on: both lengths along the rod, mm.
///
/// `body` is the distance from the ball's centre to the face from which exposed threads are
/// counted (the end's own face, or its lock nut's seat); `exposed` the threads in sight between
/// that face and a fixed place on the rod (a shoulder, the boot's groove, the end of the thread).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TieRodEnd {
    /// Ball centre to counting face.
    pub body: Uncertain,
    /// Exposed threads.
    pub exposed: Uncertain,
}

/// What is known of the new end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewEnd {
    /// Ball centre to counting face, mm.
    pub body: Uncertain,
    /// Thread pitch, mm per turn.
    pub pitch: f64,
    /// Change of toe per mm by which the rod gets longer, degrees, toe-in positive, from the corner's
    /// sensitivities or the steering arm's length.
    pub toe_per_mm: f64,
}

/// How to screw on the new end. An alignment is still due: equal length brings toe back only to
/// the uncertainty shown, and only if nothing else changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndReplaced {
    /// Exposed threads that give the old length, mm.
    pub exposed: Uncertain,
    /// The same in turns of thread.
    pub exposed_turns: f64,
    /// Standard uncertainty of this wheel's toe from the lengths alone, degrees.
    pub toe_u: f64,
    /// Change of toe per turn that makes the rod longer, degrees, toe-in positive.
    pub toe_per_turn: f64,
}

impl TieRodEnd {
    /// The exposed threads of a new end that give the same length between ball and rod:
    /// e' = e + c − c', uncertainties as a root sum of squares (JCGM 100:2008, 5.1.2).
    ///
    /// # Errors
    /// [`UncertainError`] for a pitch that is not positive or a toe rate that is not a number.
    pub fn replaced_by(&self, new: &NewEnd) -> Result<EndReplaced, UncertainError> {
        let sound = new.pitch > 0.0 && new.pitch.is_finite() && new.toe_per_mm.is_finite();
        if !sound {
            return Err(UncertainError::NotFinite);
        }
        let body = self.body.minus(new.body);
        let value = self.exposed.value() + body.value();
        let exposed = Uncertain::new(value, self.exposed.u().hypot(body.u()))?;
        Ok(EndReplaced {
            exposed,
            exposed_turns: value / new.pitch,
            toe_u: exposed.u() * new.toe_per_mm.abs(),
            toe_per_turn: new.pitch * new.toe_per_mm,
        })
    }
}
