//! What somebody in the same network, or a foreign page in the same browser, may try: nothing leaks,
//! nothing is lost, nothing panics. A panic while answering fails the test that asked, or is seen as
//! "The program failed".

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up has failed")]

mod devices;
mod forged;
mod house;
mod oversized;
mod paths;
mod socket;
mod texts;
mod uploads;
