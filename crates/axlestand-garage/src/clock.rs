//! The one clock and the one source of chance of the project.

/// Where time and new ids come from; tests put their own in.
pub trait Clock {
    /// Now, as RFC 3339 text in local time with its offset; to the millisecond where the clock knows it.
    fn now(&mut self) -> String;
    /// A new unique id: 32 hexadecimal digits.
    ///
    /// # Errors
    /// Where the system gives no random numbers.
    fn new_id(&mut self) -> Result<String, getrandom::Error>;
}

/// The clock of the machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now(&mut self) -> String {
        #[expect(clippy::disallowed_methods, reason = "this is the one clock")]
        let now = jiff::Timestamp::now();
        as_kept(now, jiff::tz::TimeZone::system())
    }

    fn new_id(&mut self) -> Result<String, getrandom::Error> {
        new_id()
    }
}

/// A new unique id by chance alone: 32 hexadecimal digits.
///
/// # Errors
/// Where the system gives no random numbers.
pub fn new_id() -> Result<String, getrandom::Error> {
    use std::fmt::Write as _;
    let mut bytes = [0u8; 16];
    getrandom::fill(&mut bytes)?;
    let mut id = String::with_capacity(32);
    for byte in bytes {
        let _ = write!(id, "{byte:02x}");
    }
    Ok(id)
}

/// A clock that counts: for tests and for the demo, so that they give the same every time.
#[derive(Debug, Clone, Default)]
pub struct CountingClock {
    ticks: u64,
}

impl Clock for CountingClock {
    fn now(&mut self) -> String {
        let minutes = self.ticks;
        format!(
            "2000-01-{:02}T{:02}:{:02}:00+00:00",
            1 + minutes / 1440 % 28,
            minutes / 60 % 24,
            minutes % 60
        )
    }

    fn new_id(&mut self) -> Result<String, getrandom::Error> {
        self.ticks += 1;
        Ok(format!("{:032x}", self.ticks))
    }
}

/// A time as it is kept: to the millisecond, for which of two entries was made later is told by it alone.
fn as_kept(at: jiff::Timestamp, zone: jiff::tz::TimeZone) -> String {
    at.to_zoned_datetime(zone).strftime("%Y-%m-%dT%H:%M:%S%.3f%:z").to_string()
}

/// A time that many milliseconds earlier, as text with the same offset; the same where the text is no
/// time.
pub(crate) fn earlier(at: &str, by_ms: u64) -> String {
    let earlier = || {
        let pieces = jiff::fmt::temporal::Pieces::parse(at).ok()?;
        let offset = pieces.to_numeric_offset()?;
        let by = jiff::SignedDuration::from_millis(i64::try_from(by_ms).ok()?);
        let then = at.parse::<jiff::Timestamp>().ok()?.checked_sub(by).ok()?;
        Some(as_kept(then, jiff::tz::TimeZone::fixed(offset)))
    };
    earlier().unwrap_or_else(|| at.to_owned())
}

/// A time as seconds since 1970; 0 where the text is no time.
pub(crate) fn seconds(at: &str) -> i64 {
    at.parse::<jiff::Timestamp>().map_or(0, jiff::Timestamp::as_second)
}

/// A time as milliseconds since 1970; 0 where the text is no time.
pub(crate) fn milliseconds(at: &str) -> i64 {
    at.parse::<jiff::Timestamp>().map_or(0, jiff::Timestamp::as_millisecond)
}

/// A time as people read it: `2026-05-02 14:30`.
pub(crate) fn to_the_minute(at: &str) -> String {
    at.get(..16).unwrap_or(at).replace('T', " ")
}

/// A time as people read it where seconds count: `2026-05-02 14:30:05`.
pub(crate) fn to_the_second(at: &str) -> String {
    at.get(..19).unwrap_or(at).replace('T', " ")
}
