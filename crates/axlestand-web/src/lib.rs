//! The garage app: the whole job in a browser, on the phone beside the car.
//!
//! [`serve()`] answers requests until it is told to stop ([`app()`] is the same without a socket);
//! [`report_page`] renders a report that stands alone. Pages are rendered on the server from the garage's
//! views and work without script for reading and recording; the script in `assets/` adds what a phone in a
//! garage needs: a queue for bad signal, live updates, reading aloud.
//!
//! How a request goes: `routes.rs` has every address; `access/` decides who may come in (Host, device,
//! Origin); a handler in `pages/` takes what was asked, calls the garage on a thread that may block
//! (`app.rs`), and renders. What is recorded comes in by `entry.rs` (a form), `deliver.rs` (a queue) or
//! `pages/handover.rs` (a file), and `live.rs` tells the other devices.
//!
//! # What this crate does not do
//! It knows only the garage: no ledger, no plan, no database. It computes nothing; it shows.

mod access;
mod addresses;
mod app;
mod assets;
mod choices;
mod deliver;
mod entry;
mod kept;
mod live;
mod pages;
mod phone;
mod problem;
mod routes;
mod serve;
mod sockets;
#[cfg(test)]
mod workbench;

pub use addresses::own_address;
pub use pages::report::report_page;
pub use phone::{AppWay, CertificateError};
pub use serve::{AsApp, Lan, MakeClock, Pairing, ServeError, Serving, app, serve};
