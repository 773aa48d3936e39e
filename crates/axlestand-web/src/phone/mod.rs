//! The level "app": the garage over https, with a certificate that phones can be told to trust.
//!
//! The http port goes on serving devices that were let in before, so that what still waits on them under
//! that address arrives; new ones get from it only the authority's certificate and how to trust it.

mod authority;
mod guide;
mod listener;

pub use authority::CertificateError;
pub(crate) use authority::{Certificate, certificate};
pub(crate) use guide::{authority_file, guide};
pub(crate) use listener::{Arrival, TlsListener, acceptor};

/// What pages say of the app.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AppWay {
    /// Where the app answers: `https://192.168.1.20:7718`.
    pub address: String,
    /// Where a phone gets the certificate: `http://192.168.1.20:7717/phone`.
    pub guide: String,
    /// SHA-256 of the authority's certificate, as phones show it: `3F:A0:…`.
    pub fingerprint: String,
    /// The authority's certificate, DER.
    pub(crate) authority: Vec<u8>,
}
