//! Page 1 of a PDF as a picture: cut out of its file, and set into another as a form.
//!
//! Read here: boxes and resources that a page
//! inherits, pages that are turned, object streams, files locked with an empty password.

use lopdf::{
    DEFAULT_MAX_DECOMPRESSED_SIZE, Dictionary, Document, Object, ObjectId, Stream, dictionary,
};

use super::graft::Graft;
use super::length::{Length, Size};
use super::page_words::{self, PageWords};
use super::picture::PictureError;

/// The furthest that a page tree is climbed for what a page inherits.
const DEEPEST: usize = 32;

/// The smallest and largest side of a page, in points: beyond, a picture has no sense.
const SIDES: std::ops::RangeInclusive<f32> = 1.0..=14_400.0;

/// A page, cut out of its file.
pub struct PagePicture {
    /// A PDF of this page alone, without any lock.
    pub bytes: Vec<u8>,
    /// The size as it is seen, turned if it says so.
    pub size: Size,
    /// The words on it.
    pub words: PageWords,
}

/// Reads page 1 of a PDF.
pub fn read(file: &str, bytes: Vec<u8>) -> Result<PagePicture, PictureError> {
    let locked = || PictureError::Locked {
        file: file.to_owned(),
    };
    let broken = |error: lopdf::Error| match error {
        lopdf::Error::InvalidPassword | lopdf::Error::Unimplemented(_) => locked(),
        other => PictureError::Broken {
            file: file.to_owned(),
            reason: other.to_string(),
        },
    };
    let source = Document::load_mem(&bytes).map_err(broken)?;
    if source.is_encrypted() && !source.was_encrypted() {
        return Err(locked());
    }
    let page = source.page_iter().next().ok_or(PictureError::NoPage {
        file: file.to_owned(),
    })?;
    let edges = Edges::of(&source, page).ok_or(PictureError::NoBox {
        file: file.to_owned(),
    })?;
    let mut alone = alone(&source, page, edges).map_err(broken)?;
    let only = alone.page_iter().next();
    let words = only.map_or_else(PageWords::default, |page| page_words::read(&alone, page));
    let mut bytes = Vec::new();
    alone
        .save_to(&mut bytes)
        .map_err(|error| broken(error.into()))?;
    Ok(PagePicture {
        bytes,
        size: edges.size(),
        words,
    })
}

/// Sets a page that `read` cut out into another document, as a form one unit wide and high.
pub fn set_in(document: &mut Document, bytes: &[u8]) -> Result<ObjectId, lopdf::Error> {
    let source = Document::load_mem(bytes)?;
    let page = source
        .page_iter()
        .next()
        .ok_or(lopdf::Error::PageNumberNotFound(1))?;
    let edges = Edges::of(&source, page).ok_or(lopdf::Error::PageNumberNotFound(1))?;
    let resources = inherited(&source, page, b"Resources").unwrap_or_else(|| dictionary! {}.into());
    let mut graft = Graft::new(&source, document);
    let resources = graft.object(resources);
    let group = source.get_dictionary(page)?.get(b"Group").ok().cloned();
    let group = group.map(|group| graft.object(group));
    graft.finish();
    let mut about = dictionary! {
        "Type" => "XObject",
        "Subtype" => "Form",
        "FormType" => 1,
        "BBox" => edges.corners.map(Object::Real).to_vec(),
        "Matrix" => edges.to_unit().map(Object::Real).to_vec(),
        "Resources" => resources,
    };
    if let Some(group) = group {
        about.set("Group", group);
    }
    let content = source.get_page_content_with_limit(page, DEFAULT_MAX_DECOMPRESSED_SIZE)?;
    Ok(document.add_object(Stream::new(about, content)))
}

/// A page's edges in points, and how it is turned.
#[derive(Clone, Copy)]
struct Edges {
    /// Left, bottom, right, top.
    corners: [f32; 4],
    /// Quarter turns, clockwise.
    turns: i64,
}

impl Edges {
    fn of(document: &Document, page: ObjectId) -> Option<Self> {
        let box_ = inherited(document, page, b"CropBox")
            .or_else(|| inherited(document, page, b"MediaBox"))?;
        let figures = box_.as_array().ok()?.iter();
        let figures: Option<Vec<f32>> = figures
            .map(|figure| document.dereference(figure).ok()?.1.as_float().ok())
            .collect();
        let [a, b, c, d] = figures?.try_into().ok()?;
        let corners = [a.min(c), b.min(d), a.max(c), b.max(d)];
        let sides = [corners[2] - corners[0], corners[3] - corners[1]];
        let turn = inherited(document, page, b"Rotate").and_then(|turn| turn.as_i64().ok());
        sides
            .iter()
            .all(|side| SIDES.contains(side))
            .then_some(Self {
                corners,
                turns: turn.unwrap_or(0).rem_euclid(360) / 90,
            })
    }

    fn size(self) -> Size {
        let [left, bottom, right, top] = self.corners;
        let long = |points: f32| {
            let micrometres = f64::from(points) * 25_400.0 / 72.0;
            Length::of_micrometres(micrometres.round() as i64)
        };
        let (width, height) = (long(right - left), long(top - bottom));
        match self.turns % 2 {
            0 => Size { width, height },
            _ => Size {
                width: height,
                height: width,
            },
        }
    }

    /// The matrix that turns the page upright and brings it to one unit each way.
    fn to_unit(self) -> [f32; 6] {
        let [left, bottom, right, top] = self.corners;
        let (w, h) = (right - left, top - bottom);
        match self.turns {
            1 => [0.0, -1.0 / w, 1.0 / h, 0.0, -bottom / h, right / w],
            2 => [-1.0 / w, 0.0, 0.0, -1.0 / h, right / w, top / h],
            3 => [0.0, 1.0 / w, -1.0 / h, 0.0, top / h, -left / w],
            _ => [1.0 / w, 0.0, 0.0, 1.0 / h, -left / w, -bottom / h],
        }
    }
}

/// What a page has under a key, itself or from the tree above it.
fn inherited(document: &Document, page: ObjectId, key: &[u8]) -> Option<Object> {
    let mut node = document.get_dictionary(page).ok()?;
    for _ in 0..DEEPEST {
        if let Ok(found) = node.get(key) {
            return Some(document.dereference(found).ok()?.1.clone());
        }
        let above = node.get(b"Parent").ok()?.as_reference().ok()?;
        node = document.get_dictionary(above).ok()?;
    }
    None
}

/// A document of one page alone.
fn alone(source: &Document, page: ObjectId, edges: Edges) -> Result<Document, lopdf::Error> {
    let mut target = Document::with_version("1.7");
    let content = source.get_page_content_with_limit(page, DEFAULT_MAX_DECOMPRESSED_SIZE)?;
    let resources = inherited(source, page, b"Resources").unwrap_or_else(|| dictionary! {}.into());
    let group = source.get_dictionary(page)?.get(b"Group").ok().cloned();
    let mut graft = Graft::new(source, &mut target);
    let resources = graft.object(resources);
    let group = group.map(|group| graft.object(group));
    graft.finish();
    let mut stream = Stream::new(Dictionary::new(), content);
    stream.compress()?;
    let content = target.add_object(stream);
    let pages = target.new_object_id();
    let mut about = dictionary! {
        "Type" => "Page",
        "Parent" => pages,
        "MediaBox" => edges.corners.map(Object::Real).to_vec(),
        "Rotate" => edges.turns * 90,
        "Contents" => content,
        "Resources" => resources,
    };
    if let Some(group) = group {
        about.set("Group", group);
    }
    let page = target.add_object(about);
    let list = dictionary! { "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1 };
    target.objects.insert(pages, list.into());
    let catalog = target.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    target.trailer.set("Root", catalog);
    Ok(target)
}
