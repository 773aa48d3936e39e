//! The certificate authority of this machine, for phones that want the app over https.
//!
//! It is made once and kept in a folder of the user, not of the garage: garages are copied, backed up and
//! shared, the key must not be; and a phone that trusts it once trusts every garage of this machine. It is
//! limited by name constraints (RFC 5280 §4.2.1.10) to the private IPv4 ranges (RFC 1918) and to this
//! machine's one name under `.local` (RFC 6762), so that a stolen key opens nothing beyond a home network.

use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DnType, ExtendedKeyUsagePurpose, GeneralSubtree, IsCa,
    Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType,
};
use serde::{Deserialize, Serialize};
use std::fs;
use std::io::Write as _;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::time::Duration;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

const DAY: u64 = 24 * 3_600;
/// How long the authority holds, days: about ten years.
const AUTHORITY_LIFE: u64 = 3_650;
/// How long a certificate holds, days: below the 398 that browsers accept at most for public ones.
const LEAF_LIFE: u64 = 390;
/// A certificate that holds for less is renewed at the start, days.
const LEAF_RENEWED: u64 = 30;

/// Why there is no certificate.
#[derive(Debug, thiserror::Error)]
pub enum CertificateError {
    /// The address is none of a home network.
    #[error(
        "{0} is no private IPv4 address (10.…, 172.16.… to 172.31.…, 192.168.…): the app needs one, since its certificate is limited to those"
    )]
    NotPrivate(String),
    /// A file cannot be read or written.
    #[error("{path}: {why}")]
    File {
        /// The file.
        path: PathBuf,
        /// The reason.
        why: std::io::Error,
    },
    /// A kept file is damaged.
    #[error(
        "{0} is damaged: delete the folder that it stands in; phones then have to be told to trust the new certificate"
    )]
    Damaged(PathBuf),
    /// The system gives no random numbers, or the like.
    #[error("no certificate can be made: {0}")]
    NotMade(String),
}

impl From<rcgen::Error> for CertificateError {
    fn from(why: rcgen::Error) -> Self {
        Self::NotMade(why.to_string())
    }
}

/// What is known beside the certificates.
#[derive(Debug, Serialize, Deserialize)]
struct Facts {
    /// This machine's name under `.local`, which the authority is limited to.
    name: String,
    /// For which address the certificate is.
    address: Ipv4Addr,
    /// Until when it holds, seconds since 1970.
    until: u64,
}

/// A certificate with its key and the authority that signed it.
pub(crate) struct Certificate {
    /// The authority's certificate, DER: what a phone is told to trust.
    pub(crate) authority: CertificateDer<'static>,
    /// The certificate of this machine.
    pub(crate) leaf: CertificateDer<'static>,
    pub(crate) key: PrivateKeyDer<'static>,
    /// This machine's name under `.local`.
    pub(crate) name: String,
}

/// The certificate for an address: the kept one, or a new one where that is another's or near its end.
/// `now` is in seconds since 1970, `host` this machine's name.
///
/// # Errors
/// [`CertificateError`] where none can be made or kept.
pub(crate) fn certificate(
    folder: &Path,
    address: Ipv4Addr,
    host: &str,
    now: u64,
) -> Result<Certificate, CertificateError> {
    if !address.is_private() {
        return Err(CertificateError::NotPrivate(address.to_string()));
    }
    fs::create_dir_all(folder).map_err(|why| CertificateError::File { path: folder.to_owned(), why })?;
    let at = |name: &str| folder.join(name);
    let facts = read(&at("facts.json"))?.map(|text| {
        serde_json::from_str::<Facts>(&text).map_err(|_| CertificateError::Damaged(at("facts.json")))
    });
    let facts = facts.transpose()?;
    let name = facts.as_ref().map_or_else(|| local_name(host), |facts| facts.name.clone());
    if read(&at("authority.pem"))?.is_none() {
        let (certificate, key) = authority(&name, now)?;
        // The key first: a certificate without its key would be taken for whole.
        write(&at("authority-key.pem"), &key)?;
        write(&at("authority.pem"), &certificate)?;
    }
    let holds = facts.is_some_and(|f| f.address == address && f.until > now + LEAF_RENEWED * DAY);
    if !holds || read(&at("leaf.pem"))?.is_none() {
        let key = read(&at("authority-key.pem"))?
            .ok_or_else(|| CertificateError::Damaged(at("authority-key.pem")))?;
        let key = KeyPair::from_pem(&key).map_err(|_| CertificateError::Damaged(at("authority-key.pem")))?;
        let issuer = Issuer::new(authority_parameters(&name, now), key);
        let names = [SanType::IpAddress(address.into()), SanType::DnsName(name.as_str().try_into()?)];
        let (certificate, key) = leaf(&issuer, &names, now)?;
        write(&at("leaf-key.pem"), &key)?;
        write(&at("leaf.pem"), &certificate)?;
        let facts = Facts { name: name.clone(), address, until: now + (LEAF_LIFE - 1) * DAY };
        write(&at("facts.json"), &serde_json::to_string_pretty(&facts).unwrap_or_default())?;
    }
    let damaged = |name: &str| CertificateError::Damaged(at(name));
    Ok(Certificate {
        authority: CertificateDer::from_pem_file(at("authority.pem"))
            .map_err(|_| damaged("authority.pem"))?,
        leaf: CertificateDer::from_pem_file(at("leaf.pem")).map_err(|_| damaged("leaf.pem"))?,
        key: PrivateKeyDer::from_pem_file(at("leaf-key.pem")).map_err(|_| damaged("leaf-key.pem"))?,
        name,
    })
}

/// This machine's name under `.local`: letters, digits and hyphens of its own name (RFC 1123 §2.1).
fn local_name(host: &str) -> String {
    let first = host.trim().split('.').next().unwrap_or_default().to_ascii_lowercase();
    let plain: String = first.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(60).collect();
    let plain = plain.trim_matches('-');
    format!("{}.local", if plain.is_empty() { "axlestand" } else { plain })
}

fn authority_parameters(name: &str, now: u64) -> CertificateParams {
    let mut wanted = CertificateParams::default();
    wanted.distinguished_name.push(DnType::CommonName, format!("Axlestand on {name}"));
    wanted.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    wanted.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    wanted.name_constraints = Some(NameConstraints {
        permitted_subtrees: vec![
            GeneralSubtree::IpAddress(CidrSubnet::V4([10, 0, 0, 0], [255, 0, 0, 0])),
            GeneralSubtree::IpAddress(CidrSubnet::V4([172, 16, 0, 0], [255, 240, 0, 0])),
            GeneralSubtree::IpAddress(CidrSubnet::V4([192, 168, 0, 0], [255, 255, 0, 0])),
            GeneralSubtree::DnsName(name.to_owned()),
        ],
        excluded_subtrees: Vec::new(),
    });
    set_life(&mut wanted, now, AUTHORITY_LIFE);
    wanted
}

/// Certificate and key of an authority, as PEM.
fn authority(name: &str, now: u64) -> Result<(String, String), CertificateError> {
    let key = KeyPair::generate()?;
    let certificate = authority_parameters(name, now).self_signed(&key)?;
    Ok((certificate.pem(), key.serialize_pem()))
}

/// A certificate for names, as PEM with its key. What it may be for is held in by the authority's limits,
/// not here.
fn leaf(
    issuer: &Issuer<'_, KeyPair>,
    names: &[SanType],
    now: u64,
) -> Result<(String, String), CertificateError> {
    let key = KeyPair::generate()?;
    let mut wanted = CertificateParams::default();
    wanted.distinguished_name.push(DnType::CommonName, "Axlestand garage app");
    wanted.subject_alt_names = names.to_vec();
    wanted.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    wanted.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    wanted.use_authority_key_identifier_extension = true;
    set_life(&mut wanted, now, LEAF_LIFE);
    let certificate = wanted.signed_by(&key, issuer)?;
    Ok((certificate.pem(), key.serialize_pem()))
}

/// From a day before `now`, since clocks differ, for so many days.
fn set_life(wanted: &mut CertificateParams, now: u64, days: u64) {
    let from = now.saturating_sub(DAY);
    wanted.not_before = rcgen::date_time_ymd(1970, 1, 1) + Duration::from_secs(from);
    wanted.not_after = rcgen::date_time_ymd(1970, 1, 1) + Duration::from_secs(from + days * DAY);
}

fn read(path: &Path) -> Result<Option<String>, CertificateError> {
    match fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(why) => Err(CertificateError::File { path: path.to_owned(), why }),
    }
}

/// Writes a file that only its owner may read, whole or not at all.
fn write(path: &Path, text: &str) -> Result<(), CertificateError> {
    let cannot = |why| CertificateError::File { path: path.to_owned(), why };
    let beside = path.with_extension("new");
    let mut options = fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&beside).map_err(cannot)?;
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(cannot)?;
    fs::rename(&beside, path).map_err(cannot)
}

#[cfg(test)]
mod as_a_phone_checks_it {
    use super::{Certificate, DAY, authority_parameters, certificate, leaf};
    use rcgen::{Issuer, KeyPair, SanType};
    use std::net::Ipv4Addr;
    use std::time::Duration;
    use tokio_rustls::rustls::pki_types::pem::PemObject as _;
    use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName, UnixTime};
    use webpki::{EndEntityCert, KeyUsage, anchor_from_trusted_cert};

    const NOW: u64 = 1_790_000_000;
    const HOME: Ipv4Addr = Ipv4Addr::new(192, 168, 1, 20);

    /// The verdict of webpki, the checker of rustls, for a name at a time.
    fn verdict(
        authority: &CertificateDer<'_>,
        leaf: &CertificateDer<'_>,
        name: &str,
        at: u64,
    ) -> Result<(), String> {
        let anchors = [anchor_from_trusted_cert(authority).unwrap()];
        let cert = EndEntityCert::try_from(leaf).unwrap();
        let at = UnixTime::since_unix_epoch(Duration::from_secs(at));
        cert.verify_for_usage(
            webpki::ALL_VERIFICATION_ALGS,
            &anchors,
            &[],
            at,
            KeyUsage::server_auth(),
            None,
            None,
        )
        .map_err(|why| why.to_string())?;
        cert.verify_is_valid_for_subject_name(&ServerName::try_from(name).unwrap())
            .map_err(|why| why.to_string())
    }

    #[test]
    fn good_for_the_address_and_the_local_name_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let made = certificate(folder.path(), HOME, "Garage-PC.lan", NOW).unwrap();
        assert_eq!(made.name, "garage-pc.local");
        for name in ["192.168.1.20", "garage-pc.local"] {
            assert_eq!(verdict(&made.authority, &made.leaf, name, NOW), Ok(()), "{name}");
            assert_eq!(verdict(&made.authority, &made.leaf, name, NOW + 388 * DAY), Ok(()), "{name}");
            assert!(verdict(&made.authority, &made.leaf, name, NOW + 391 * DAY).is_err(), "{name}");
        }
        assert!(verdict(&made.authority, &made.leaf, "192.168.1.21", NOW).is_err());
        assert!(certificate(folder.path(), Ipv4Addr::new(203, 0, 113, 5), "x", NOW).is_err());
    }

    #[test]
    fn a_stolen_key_opens_no_public_name() {
        let folder = tempfile::tempdir().unwrap();
        let Certificate { authority, name, .. } = certificate(folder.path(), HOME, "pc", NOW).unwrap();
        let key = std::fs::read_to_string(folder.path().join("authority-key.pem")).unwrap();
        let thief = Issuer::new(authority_parameters(&name, NOW), KeyPair::from_pem(&key).unwrap());
        let signed = |san: SanType| {
            let (pem, _) = leaf(&thief, &[san], NOW).unwrap();
            CertificateDer::from_pem_slice(pem.as_bytes()).unwrap()
        };
        let dns = |name: &str| SanType::DnsName(name.try_into().unwrap());
        // The control: what the limits permit passes in the same way.
        assert_eq!(
            verdict(&authority, &signed(SanType::IpAddress([10, 1, 2, 3].into())), "10.1.2.3", NOW),
            Ok(())
        );
        for (san, name) in [
            (dns("example.com"), "example.com"),
            (dns("other.local"), "other.local"),
            (SanType::IpAddress([203, 0, 113, 5].into()), "203.0.113.5"),
            (SanType::IpAddress("2001:db8::1".parse().unwrap()), "2001:db8::1"),
        ] {
            let refused = verdict(&authority, &signed(san), name, NOW).unwrap_err();
            assert!(refused.contains("NameConstraintViolation"), "{name}: {refused}");
        }
    }

    #[test]
    fn kept_until_it_nears_its_end_or_the_address_changes_the_authority_for_years() {
        let folder = tempfile::tempdir().unwrap();
        let at = |address, now| certificate(folder.path(), address, "pc", now).unwrap();
        let first = at(HOME, NOW);
        assert_eq!(at(HOME, NOW + 358 * DAY).leaf, first.leaf);
        let renewed = at(HOME, NOW + 361 * DAY);
        assert_ne!(renewed.leaf, first.leaf);
        let moved = at(Ipv4Addr::new(192, 168, 1, 21), NOW + 361 * DAY);
        assert_ne!(moved.leaf, renewed.leaf);
        assert_eq!(moved.authority, first.authority);
        assert_eq!(verdict(&moved.authority, &moved.leaf, "192.168.1.21", NOW + 361 * DAY), Ok(()));
        #[cfg(unix)]
        for name in ["authority-key.pem", "leaf-key.pem"] {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = std::fs::metadata(folder.path().join(name)).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600, "{name}");
        }
    }
}
