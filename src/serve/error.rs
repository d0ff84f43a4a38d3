//! Why the server could not start, or did not go on.

use std::net::SocketAddr;
use std::path::PathBuf;

use crate::diary::DiaryError;

use super::phones::PhonesError;

/// Why the farm's pages could not be served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// Something else listens there already.
    #[error("another program listens at `{at}` already")]
    Taken {
        /// Where it was to listen.
        at: SocketAddr,
    },
    /// The address is none of this computer's, or may not be listened at.
    #[error("this computer cannot listen at `{at}`")]
    NotHere {
        /// Where it was to listen.
        at: SocketAddr,
        /// What the system said.
        source: std::io::Error,
    },
    /// The certificate or its key could not be read.
    #[error("`{}` could not be read", .path.display())]
    Unread {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file holds no certificate.
    #[error("`{}` holds no certificate in PEM", .path.display())]
    NoCertificate {
        /// The file.
        path: PathBuf,
    },
    /// The file holds no key.
    #[error("`{}` holds no private key in PEM", .path.display())]
    NoKey {
        /// The file.
        path: PathBuf,
    },
    /// The two do not belong together, or are of a kind that is not known.
    #[error("the certificate in `{}` cannot be used with the key in `{}`", .cert.display(), .key.display())]
    Mismatch {
        /// The certificate's file.
        cert: PathBuf,
        /// The key's file.
        key: PathBuf,
        /// What was found.
        source: rustls::Error,
    },
    /// The diary could not be read.
    #[error("{source}")]
    Diary {
        /// Why not.
        source: DiaryError,
    },
    /// What is kept of PINs and phones could not be read.
    #[error("{source}")]
    Phones {
        /// Why not.
        source: PhonesError,
    },
    /// castlot.toml could not be read.
    #[error("{}", .lines.join("; "))]
    Settings {
        /// What is wrong with it, a line each.
        lines: Vec<String>,
    },
    /// The system let it go no further.
    #[error("the server could not go on")]
    System {
        /// What the system said.
        source: std::io::Error,
    },
}

impl From<DiaryError> for ServeError {
    fn from(source: DiaryError) -> Self {
        Self::Diary { source }
    }
}

impl From<PhonesError> for ServeError {
    fn from(source: PhonesError) -> Self {
        Self::Phones { source }
    }
}

impl From<std::io::Error> for ServeError {
    fn from(source: std::io::Error) -> Self {
        Self::System { source }
    }
}
