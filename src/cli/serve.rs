//! `castlot serve`: the pages over HTTP, for phones on the local network.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;

use crate::serve::{self, Options, Surroundings, TlsFiles};

use super::failure::Failure;
use super::shed::{self, Shed};
use super::{settings_file, voice};

/// Show the pages to phones on the local network.
///
/// Anybody who can reach the address sees the public pages: what `castlot publish` writes, as the diary stands at that
/// moment. Whoever signs in with a PIN sees the shed, and records in the diary by the same rules as here. Says at the
/// start who can reach it. Without `--at`, only this computer can. Ctrl-C ends it.
///
/// Example: castlot serve --at 192.168.1.20:8080
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Where to listen: an address of this computer, and a port.
    #[arg(long, value_name = "ADDRESS:PORT", default_value = "127.0.0.1:8080")]
    at: SocketAddr,
    /// The farm's own certificate, in PEM, to encrypt what is sent.
    #[arg(long, value_name = "FILE", requires = "key")]
    cert: Option<PathBuf>,
    /// The private key of the certificate, in PEM.
    #[arg(long, value_name = "FILE", requires = "cert")]
    key: Option<PathBuf>,
}

/// Serves the farm until it is told to end.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    // Told here, with its hints, rather than by the server.
    shed.settings()?;
    let folder = shed.folder.clone();
    let surroundings = Surroundings {
        folder: shed.folder.clone(),
        diary: shed.diary(),
        settings_file: shed.folder.join(settings_file::FILE),
        settings: Arc::new(move || settings_file::read(&folder).map_err(|failure| failure.texts)),
        now: shed::now,
        say: |line| voice::say(line),
        note: |line| voice::note(line),
    };
    let tls = args.cert.clone().zip(args.key.clone());
    let options = Options {
        at: args.at,
        tls: tls.map(|(cert, key)| TlsFiles { cert, key }),
    };
    serve::run(surroundings, &options).map_err(Failure::from)
}
