//! The dry-fit: a page on this machine that shows a spec's true state, and writes what is moved on it back
//! into the spec.
//!
//! ```text
//! file ──> watching when it, or what it names, is saved elsewhere
//!          desk     the text, saved at once and whole; steps back
//!          view     laid out and drawn; a mistake keeps the last good picture
//!          nesting  the nest behind it: quick, then as a build gives it
//!          room     all of these together, and news of them
//!          server   over HTTP, on this machine alone ──> assets  the page itself
//!
//! page ──> moves    what is asked, as changes of the spec (places: where it lies; clusters: pieces of
//!                   one; held: why it stays)
//!          edit     the text changed in just those places ──> desk
//! ```

mod assets;
mod clusters;
mod desk;
pub mod edit;
mod elements;
mod guard;
mod held;
mod lengths;
mod moves;
mod nesting;
mod places;
mod room;
mod server;
mod view;
mod watching;
mod workshop;

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::Path;
use std::sync::{Arc, Mutex};

use tokio::net::TcpListener;

use desk::Desk;
use guard::Guard;
use room::Room;
use server::{Once, Served, router};

pub use workshop::{Done, Progress, Workshop};

/// How a page is served.
#[derive(Clone, Copy, Debug, Default)]
pub struct Serving {
    /// The port; any free one if not given.
    pub port: Option<u16>,
    /// Whether other devices in the same house may open it, with a word that works once.
    pub share: bool,
}

/// The addresses of a page that is served.
#[derive(Clone, Debug)]
pub struct Addresses {
    /// For this machine.
    pub here: String,
    /// For another device, once.
    pub share: Option<String>,
}

/// Serves the page of a spec until the program ends; `ready` is called with its address.
pub fn serve(
    file: &Path,
    workshop: Arc<dyn Workshop>,
    serving: Serving,
    ready: impl FnOnce(&Addresses),
) -> io::Result<()> {
    let room = Room::new(Desk::open(file)?, workshop);
    watching::watch(file, &room)?;
    // What was saved between the first reading and the first news of the watcher.
    room.look();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(async {
        let reach = if serving.share { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
        let listener =
            TcpListener::bind(SocketAddr::from((reach, serving.port.unwrap_or(0)))).await?;
        let port = listener.local_addr()?.port();
        let word = guard::word()?;
        let mut names = vec!["127.0.0.1".to_owned(), "localhost".to_owned()];
        let mut share = None;
        let once = Arc::new(Mutex::new(Once::default()));
        if serving.share {
            let address = own_address()?;
            names.push(address.to_string());
            let word = guard::word()?.get(..8).unwrap_or_default().to_owned();
            share = Some(format!("http://{address}:{port}/join/{word}"));
            once.lock().unwrap_or_else(std::sync::PoisonError::into_inner).word = Some(word);
        }
        let here = format!("http://127.0.0.1:{port}/{word}/");
        ready(&Addresses { here, share });
        let served = Served { room, word: word.into(), once };
        axum::serve(listener, router(served, Guard::new(&names, port))).await
    })
}

/// The address of this machine in its own net. Nothing is sent: the system is only asked which way it would
/// go.
fn own_address() -> io::Result<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0))?;
    // An address for documentation that leads nowhere (RFC 5737).
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
    Ok(socket.local_addr()?.ip())
}
