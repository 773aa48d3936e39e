//! Connections over TLS.

use super::{Certificate, CertificateError};
use crate::sockets::Sockets;
use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::sync::mpsc;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring::default_provider;
use tokio_rustls::server::TlsStream;

/// How long a device may take to agree on the encryption.
const PATIENCE: Duration = Duration::from_secs(10);
/// Connections that may wait to be served.
const WAITING: usize = 64;

/// Where a request comes from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arrival(pub(crate) SocketAddr);

impl Connected<IncomingStream<'_, TlsListener>> for Arrival {
    fn connect_info(stream: IncomingStream<'_, TlsListener>) -> Self {
        Self(*stream.remote_addr())
    }
}

/// A listener that hands on connections once they are encrypted.
pub(crate) struct TlsListener {
    ready: mpsc::Receiver<(TlsStream<TcpStream>, SocketAddr)>,
    local: SocketAddr,
}

/// What encrypts with a certificate.
///
/// # Errors
/// [`CertificateError::NotMade`] where key and certificate do not fit each other.
pub(crate) fn acceptor(certificate: &Certificate) -> Result<TlsAcceptor, CertificateError> {
    let not_made = |why: tokio_rustls::rustls::Error| CertificateError::NotMade(why.to_string());
    let mut config = ServerConfig::builder_with_provider(Arc::new(default_provider()))
        .with_safe_default_protocol_versions()
        .map_err(not_made)?
        .with_no_client_auth()
        .with_single_cert(vec![certificate.leaf.clone()], certificate.key.clone_key())
        .map_err(not_made)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(TlsAcceptor::from(Arc::new(config)))
}

impl TlsListener {
    /// Takes connections from now on. Each agrees on its encryption by itself: a slow one holds up nobody.
    ///
    /// # Errors
    /// Where the listener has no address.
    pub(crate) fn new(tcp: Sockets, acceptor: TlsAcceptor) -> io::Result<Self> {
        let local = tcp.local_addr()?;
        let (hand_on, ready) = mpsc::channel(WAITING);
        tokio::spawn(async move {
            let mut tcp = tcp;
            while !hand_on.is_closed() {
                let (stream, from) = Listener::accept(&mut tcp).await;
                let (acceptor, hand_on) = (acceptor.clone(), hand_on.clone());
                tokio::spawn(async move {
                    // A phone that does not trust the certificate yet hangs up here.
                    if let Ok(Ok(stream)) = tokio::time::timeout(PATIENCE, acceptor.accept(stream)).await {
                        let _ = hand_on.send((stream, from)).await;
                    }
                });
            }
        });
        Ok(Self { ready, local })
    }
}

impl Listener for TlsListener {
    type Io = TlsStream<TcpStream>;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        match self.ready.recv().await {
            Some(connection) => connection,
            // Nobody takes connections any more: the program ends.
            None => std::future::pending().await,
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        Ok(self.local)
    }
}
