//! `page`: the layout as a local page, for a tablet or a screen at the bench.
//!
//! In the order in which data flows: `bench` holds the model as it was last read, and `watch` reads it anew when its file changes;
//! `asking` is what the page asks for and `looking`, `touching` and `ticking` answer it, with the words of `render` and the pictures of
//! `picture`; `routes` gives each its address behind `guard`. Only the build record is ever written.

mod asking;
mod bench;
mod guard;
mod looking;
mod routes;
mod ticking;
mod touching;
mod watch;

use std::io::Write;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;

use crate::Status;
use crate::args;
use crate::load::load;
use crate::render;
use bench::Bench;

/// Serves the page until it is stopped.
pub(crate) fn serve(args: &args::Page, out: &mut impl Write, err: &mut impl Write) -> Status {
    let mut complain = |told: &str| {
        let _ = write!(err, "{told}");
        Status::Unusable
    };
    // a file with faults is shown with them; one that isn't there is a slip of the pen
    if let Err(refused) = load(&args.model)
        && refused.text.is_empty()
    {
        return complain(&render::fault::render(&refused, render::width()));
    }
    let runtime = match tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
    {
        Ok(runtime) => runtime,
        Err(error) => return complain(&format!("error: the page can't be served: {error}\n")),
    };
    let ended = runtime.block_on(async {
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, args.port));
        let listener = tokio::net::TcpListener::bind(address).await?;
        let address = listener.local_addr()?;
        let bench = Arc::new(Bench::of(&args.model));
        let _watch = watch::start(&bench)?;
        let url = format!("http://{address}/");
        writeln!(
            out,
            "{} is shown at {url}\nCtrl-C ends it. Only the build record is ever written.",
            args.model.display()
        )?;
        out.flush()?;
        if args.open {
            open(&url);
        }
        let router = routes::router(bench, address.port());
        // open streams of events would be waited for: whoever stops it wants it stopped
        tokio::select! {
            ended = axum::serve(listener, router) => ended,
            stopped = tokio::signal::ctrl_c() => stopped,
        }
    });
    // questions that are still being worked out are nobody's any more
    runtime.shutdown_background();
    match ended {
        Ok(()) => Status::Well,
        Err(error) => complain(&format!("error: the page can't be served: {error}\n")),
    }
}

/// Opens an address in the browser. Where that can't be done, the address stands on the terminal.
fn open(url: &str) {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let quiet = std::process::Stdio::null;
    let _ = std::process::Command::new(program)
        .arg(url)
        .stdin(quiet())
        .stdout(quiet())
        .stderr(quiet())
        .spawn();
}
