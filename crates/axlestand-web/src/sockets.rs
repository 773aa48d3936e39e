//! Where the app answers: at this machine's own address, and at the one that devices are told.

use crate::phone::Arrival;
use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use tokio::net::{TcpListener, TcpStream};

/// One port, at no more addresses than are needed: what else this machine is joined to is not served.
pub(crate) struct Sockets {
    told: TcpListener,
    own: Option<TcpListener>,
}

impl Sockets {
    /// Opens a port for this machine alone, or at an address of it for the devices of the home network too;
    /// an unspecified one (RFC 4291, 2.5.2) means every address.
    ///
    /// # Errors
    /// Where the address is not this machine's, the port is taken or cannot be opened.
    pub(crate) async fn open(at: Option<IpAddr>, port: u16) -> io::Result<Self> {
        let own = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let address = at.unwrap_or(own);
        let told = TcpListener::bind((address, port)).await?;
        if address == own || address.is_unspecified() {
            return Ok(Self { told, own: None });
        }
        let port = told.local_addr()?.port();
        Ok(Self { told, own: Some(TcpListener::bind((own, port)).await?) })
    }
}

impl Listener for Sockets {
    type Io = TcpStream;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        let Some(own) = &mut self.own else { return Listener::accept(&mut self.told).await };
        tokio::select! {
            arrived = Listener::accept(&mut self.told) => arrived,
            arrived = Listener::accept(own) => arrived,
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        self.told.local_addr()
    }
}

impl Connected<IncomingStream<'_, Sockets>> for Arrival {
    fn connect_info(stream: IncomingStream<'_, Sockets>) -> Self {
        Self(*stream.remote_addr())
    }
}

#[cfg(test)]
mod tests {
    use super::Sockets;
    use axum::serve::Listener as _;
    use std::net::{IpAddr, SocketAddr};
    use tokio::net::TcpStream;

    /// All of 127/8 is this machine (RFC 1122, 3.2.1.3), so that 127.0.0.2 stands for an address at home and
    /// 127.0.0.3 for another network that the machine is joined to.
    #[cfg(target_os = "linux")]
    #[tokio::test]
    async fn only_the_address_that_was_told_and_the_own_one_answer() {
        let home: IpAddr = "127.0.0.2".parse().unwrap();
        // A port that is free at the one address may be taken at the other, by a test beside this one.
        let mut opened = Sockets::open(Some(home), 0).await;
        for _ in 0..20 {
            if opened.is_err() {
                opened = Sockets::open(Some(home), 0).await;
            }
        }
        let mut sockets = opened.unwrap();
        let port = sockets.local_addr().unwrap().port();
        for ours in ["127.0.0.2", "127.0.0.1"] {
            let asked: SocketAddr = format!("{ours}:{port}").parse().unwrap();
            let (came, went) = tokio::join!(sockets.accept(), TcpStream::connect(asked));
            assert_eq!(came.1, went.unwrap().local_addr().unwrap());
        }
        assert!(TcpStream::connect(("127.0.0.3", port)).await.is_err(), "another network gets no answer");
    }

    /// An address of documentation (RFC 5737) is nobody's.
    #[tokio::test]
    async fn an_address_that_is_not_ours_is_refused_and_every_address_answers_on_purpose_only() {
        let front: IpAddr = "192.0.2.7".parse().unwrap();
        let refused = Sockets::open(Some(front), 0).await.err().unwrap();
        assert_eq!(refused.kind(), std::io::ErrorKind::AddrNotAvailable);
        let mut sockets = Sockets::open(Some("0.0.0.0".parse().unwrap()), 0).await.unwrap();
        let port = sockets.local_addr().unwrap().port();
        for ours in ["127.0.0.1", "127.0.0.3"] {
            let (_, went) = tokio::join!(sockets.accept(), TcpStream::connect((ours, port)));
            assert!(went.is_ok() || cfg!(not(target_os = "linux")), "{ours}");
        }
    }
}
