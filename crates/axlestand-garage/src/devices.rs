//! Who may use the garage over the network: pairing, and shutting out.
//!
//! A pairing secret is shown once (as a QR code) and may be used once, for ten minutes. A device gets
//! a secret of its own in exchange. The database keeps only their hashes.

use crate::clock::seconds;
use crate::error::GarageError;
use crate::job::Garage;
use crate::store::DeviceView;
use crate::typed;
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;

/// How long a pairing secret may be used, seconds.
const PAIRING_LIFE: i64 = 600;
/// The longest name of a device, in characters.
const LONGEST_NAME: usize = 40;

/// A device that was let in, with the secret that it has to show from now on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paired {
    /// The device.
    pub device: DeviceView,
    /// Its secret: 64 hexadecimal digits. It is kept nowhere else.
    pub secret: String,
}

impl Garage {
    /// Makes a pairing secret: 64 hexadecimal digits, good once and for ten minutes.
    ///
    /// # Errors
    /// [`GarageError`] where it cannot be kept.
    pub fn pairing_secret(&mut self) -> Result<String, GarageError> {
        let secret = self.secret()?;
        let until = seconds(&self.clock.now()) + PAIRING_LIFE;
        self.store.keep_pairing(&hash(&secret), until)?;
        Ok(secret)
    }

    /// Lets a device in that shows a pairing secret; `None` where that is not known, used or too old.
    ///
    /// # Errors
    /// [`GarageError::Input`] for a name that cannot be shown, and where it cannot be kept.
    pub fn pair(&mut self, pairing: &str, name: &str) -> Result<Option<Paired>, GarageError> {
        let name = typed::remark("the device's name", name)?;
        let name: String = name.chars().take(LONGEST_NAME).collect();
        let secret = self.secret()?;
        let (id, paired) = (self.clock.new_id()?, self.clock.now());
        let device = DeviceView { id, name, paired, shut: None };
        let now = seconds(&device.paired);
        let fits = self.store.pair(&hash(pairing), now, &device, &hash(&secret))?;
        Ok(fits.then_some(Paired { device, secret }))
    }

    /// The id of the device that shows this secret, where it may come in.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn device_of(&self, secret: &str) -> Result<Option<String>, GarageError> {
        self.store.device_of(&hash(secret))
    }

    /// All devices that were ever let in, the oldest first.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn devices(&self) -> Result<Vec<DeviceView>, GarageError> {
        self.store.devices()
    }

    /// Shuts a device out, named by its name, its id or the beginning of that.
    ///
    /// # Errors
    /// [`GarageError::Selection`] where none or several devices are meant.
    pub fn shut_out(&mut self, typed: &str) -> Result<DeviceView, GarageError> {
        let devices = self.store.devices()?;
        let inside = devices.into_iter().filter(|device| device.shut.is_none());
        let meant: Vec<DeviceView> = inside
            .filter(|device| device.name == typed || (typed.len() >= 4 && device.id.starts_with(typed)))
            .collect();
        let [device] = meant.as_slice() else {
            return Err(GarageError::Selection(match meant.len() {
                0 => {
                    format!("no device that was let in is called '{typed}' ('axlestand devices' lists them)")
                }
                n => format!("{n} devices are called '{typed}': type the beginning of its id"),
            }));
        };
        let at = self.clock.now();
        self.store.shut_out(&device.id, &at)?;
        Ok(DeviceView { shut: Some(at), ..device.clone() })
    }

    fn secret(&mut self) -> Result<String, GarageError> {
        Ok(format!("{}{}", self.clock.new_id()?, self.clock.new_id()?))
    }
}

/// The hash under which a secret is kept. The secrets are 256 random bits, so that a plain hash does
/// (nothing can be guessed), and the look-up by it tells nothing by its time.
fn hash(secret: &str) -> String {
    Sha256::digest(secret.as_bytes()).iter().fold(String::with_capacity(64), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// What the code that a device scans says: the address of the way in, the secret behind `#`, where no
/// server and no log sees it.
#[must_use]
pub fn way_in(address: &str, secret: &str) -> String {
    format!("{address}/pair#{secret}")
}

/// The SHA-256 of a certificate as phones show it: `3F:A0:…`.
#[must_use]
pub fn fingerprint(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02X}")).collect::<Vec<_>>().join(":")
}
