//! The pictures that a farm's own templates may name.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::picture::{Picture, PictureError};

/// The folder of a farm's pictures, beside its diary.
const FOLDER: &str = "artwork/";

type Read = Result<Arc<Picture>, PictureError>;

/// A farm's pictures as bytes, by the name templates use; each is read when a template wants it.
#[derive(Clone, Debug, Default)]
pub struct Artwork {
    files: BTreeMap<String, (Vec<u8>, OnceLock<Read>)>,
}

impl Artwork {
    /// Adds a file of the folder `artwork` by its name there.
    pub fn add(&mut self, name: &str, bytes: Vec<u8>) {
        self.files
            .insert(format!("{FOLDER}{name}"), (bytes, OnceLock::new()));
    }

    /// Finds a picture by the name that a template writes, such as `artwork/logo.png`.
    pub fn find(&self, file: &str) -> Read {
        let name = file.strip_prefix(FOLDER).unwrap_or_default();
        let leads_away = name.contains(['/', '\\', ':']) || name.starts_with('.');
        if name.is_empty() || leads_away {
            return Err(PictureError::Name {
                file: file.to_owned(),
            });
        }
        let Some((bytes, read)) = self.files.get(file) else {
            return Err(PictureError::None {
                file: file.to_owned(),
            });
        };
        read.get_or_init(|| Picture::read(file, bytes.clone()).map(Arc::new))
            .clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_leads_out_of_the_folder_is_refused() {
        let mut artwork = Artwork::default();
        artwork.add("logo.png", b"not a picture".to_vec());
        for file in [
            "logo.png",
            "artwork/../castlot.toml",
            "/etc/hostname",
            "artwork/",
            "artwork/a/b.png",
            "artwork\\logo.png",
            "artwork/..",
            "artwork/C:logo.png",
        ] {
            let named = PictureError::Name {
                file: file.to_owned(),
            };
            assert_eq!(artwork.find(file), Err(named), "{file}");
        }
        let error = artwork.find("artwork/log.png").unwrap_err().to_string();
        assert_eq!(error, "there is no picture `artwork/log.png`");
        let error = artwork.find("artwork/logo.png").unwrap_err().to_string();
        assert_eq!(error, "`artwork/logo.png` is no PNG, JPEG or PDF");
    }
}
