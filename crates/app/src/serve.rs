//! Binds the addresses, opens the browser, and serves until it is told to stop.

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;
use std::sync::Arc;

use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use tokio::net::TcpListener;

use crate::desk::Desk;
use crate::guard::{self, Guard};
use crate::routes;
use crate::shop::Shop;

/// What is asked of the server.
#[derive(Clone, Debug)]
pub struct Table {
    /// The folder whose jobs may be opened.
    pub folder: PathBuf,
    /// The job that the page opens first, by its file's name in that folder.
    pub job: Option<String>,
    /// The port on this machine; any free one where 0.
    pub port: u16,
    /// Open the browser.
    pub browser: bool,
    /// Show a read-only copy to others on the same network.
    pub share: bool,
    /// The list of jobs lately opened.
    pub recent: Option<PathBuf>,
}

/// Where it is served.
#[derive(Clone, Debug)]
pub struct Served {
    /// The address that lets a browser on this machine in.
    pub address: String,
    /// The address that lets readers on the same network in, and a picture of it to scan.
    pub shared: Option<(String, String)>,
}

/// Serves until the program is told to stop. `ready` is told the addresses once they answer.
///
/// # Errors
/// The port is taken, the job cannot be opened, or the system refuses something.
pub fn serve(table: Table, ready: impl FnOnce(&Served)) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    runtime.block_on(run(table, ready))
}

async fn run(table: Table, ready: impl FnOnce(&Served)) -> io::Result<()> {
    let folder = table.folder.canonicalize()?;
    let desk = Arc::new(Desk::new(folder, table.recent));
    if let Some(job) = &table.job {
        desk.open(job)
            .map_err(|refusal| io::Error::other(refusal.words().to_owned()))?;
    }
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, table.port));
    let listener = listener.await.map_err(|error| match error.kind() {
        io::ErrorKind::AddrInUse => io::Error::other(format!(
            "port {} is taken: name another with --port, or none for a free one",
            table.port
        )),
        _ => error,
    })?;
    let port = listener.local_addr()?.port();
    let random = |error: getrandom::Error| io::Error::other(error.to_string());
    let ours = Guard::loopback(guard::secret().map_err(random)?, port);
    let address = format!("http://127.0.0.1:{port}/enter?key={}", ours.secret);
    let shop = Shop::new(desk.clone(), ours, false, table.job.clone());
    let (shared, readers) = match (table.share, &table.job) {
        (true, Some(job)) => {
            let (shared, listener, shop) = readers(desk.clone(), job).await?;
            (Some(shared), Some((listener, shop)))
        }
        _ => (None, None),
    };
    ready(&Served {
        address: address.clone(),
        shared,
    });
    if table.browser {
        // Where no browser opens, the address stands on the screen.
        let _ = open::that_detached(&address);
    }
    let watching = tokio::spawn(routes::watch(desk));
    let main = axum::serve(listener, routes::routes(shop));
    let sharing = async {
        match readers {
            Some((listener, shop)) => axum::serve(listener, routes::routes(shop)).await,
            None => std::future::pending().await,
        }
    };
    // Event streams never end by themselves: what is served is dropped where it stands. Every change is on disk already.
    let ended = tokio::select! {
        ended = main => ended,
        ended = sharing => ended,
        () = told_to_stop() => Ok(()),
    };
    watching.abort();
    ended
}

/// A read-only shop for others on the same network, showing one job.
async fn readers(desk: Arc<Desk>, job: &str) -> io::Result<((String, String), TcpListener, Shop)> {
    let listener = TcpListener::bind((Ipv4Addr::UNSPECIFIED, 0)).await?;
    let port = listener.local_addr()?.port();
    let here = on_the_network().unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
    let mut guard = Guard::loopback(
        guard::secret().map_err(|error| io::Error::other(error.to_string()))?,
        port,
    );
    guard.shared = true;
    guard.hosts.push(SocketAddr::new(here, port).to_string());
    let address = format!(
        "http://{}/enter?key={}",
        SocketAddr::new(here, port),
        guard.secret
    );
    let picture = QrCode::new(&address).map_or_else(
        |_| String::new(),
        |code| {
            code.render::<Dense1x2>()
                .dark_color(Dense1x2::Light)
                .light_color(Dense1x2::Dark)
                .build()
        },
    );
    let shop = Shop::new(desk, guard, true, Some(job.to_owned()));
    Ok(((address, picture), listener, shop))
}

/// This machine's address on the network that leads outwards. Nothing is sent: only the way is asked for.
fn on_the_network() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // An address kept for documentation (RFC 5737).
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip())
}

async fn told_to_stop() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        let terminate = tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate());
        if let Ok(mut terminate) = terminate {
            tokio::select! {
                _ = interrupt => (),
                _ = terminate.recv() => (),
            }
            return;
        }
    }
    let _ = interrupt.await;
}
