//! The farm's own certificate.

use std::path::Path;
use std::sync::Arc;

use axum_server::tls_rustls::RustlsConfig;
use rustls::ServerConfig;
use rustls::crypto::ring;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};

use super::error::ServeError;
use super::surroundings::TlsFiles;

/// Reads a certificate and its key.
pub fn encryption(files: &TlsFiles) -> Result<RustlsConfig, ServeError> {
    let read = |path: &Path| {
        std::fs::read(path).map_err(|source| ServeError::Unread {
            path: path.to_owned(),
            source,
        })
    };
    let (cert, key) = (read(&files.cert)?, read(&files.key)?);
    let chain: Result<Vec<_>, _> = CertificateDer::pem_slice_iter(&cert).collect();
    let chain = chain.ok().filter(|chain| !chain.is_empty());
    let chain = chain.ok_or_else(|| ServeError::NoCertificate {
        path: files.cert.clone(),
    })?;
    let key = PrivateKeyDer::from_pem_slice(&key).map_err(|_| ServeError::NoKey {
        path: files.key.clone(),
    })?;
    let provider = Arc::new(ring::default_provider());
    let mut config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .and_then(|builder| builder.with_no_client_auth().with_single_cert(chain, key))
        .map_err(|source| ServeError::Mismatch {
            cert: files.cert.clone(),
            key: files.key.clone(),
            source,
        })?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(RustlsConfig::from_config(Arc::new(config)))
}
