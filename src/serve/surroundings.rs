//! What the server is handed by whoever starts it: where the farm is, the clock, how to speak.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;

use jiff::Timestamp;

use crate::farm::Settings;

/// What was read of castlot.toml: the settings, or what is wrong with the file, a line each.
pub type SettingsRead = Result<Settings, Vec<String>>;

/// Where the server stands.
#[derive(Clone)]
pub struct Surroundings {
    /// The farm's folder.
    pub folder: PathBuf,
    /// The diary's file.
    pub diary: PathBuf,
    /// The file of settings, which is looked at for changes.
    pub settings_file: PathBuf,
    /// Reads the settings.
    pub settings: Arc<dyn Fn() -> SettingsRead + Send + Sync>,
    /// Tells the instant it is.
    pub now: fn() -> Timestamp,
    /// Says a line of the result.
    pub say: fn(&str),
    /// Says a line beside it.
    pub note: fn(&str),
}

/// How it is to be served.
#[derive(Clone, Debug)]
pub struct Options {
    /// Where to listen.
    pub at: SocketAddr,
    /// The farm's own certificate and its key, where what is sent is to be encrypted.
    pub tls: Option<TlsFiles>,
}

/// The farm's own certificate, in two files.
#[derive(Clone, Debug)]
pub struct TlsFiles {
    /// The certificate and those above it, in PEM.
    pub cert: PathBuf,
    /// Its private key, in PEM.
    pub key: PathBuf,
}
