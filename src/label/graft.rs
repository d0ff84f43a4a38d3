//! Takes objects of one PDF into another, with all that they name.

use std::collections::BTreeMap;

use lopdf::{Dictionary, Document, Object, ObjectId};

/// Copies objects from one document into another, each once, without what leads back up.
pub struct Graft<'a> {
    from: &'a Document,
    to: &'a mut Document,
    known: BTreeMap<ObjectId, ObjectId>,
    waiting: Vec<ObjectId>,
}

impl<'a> Graft<'a> {
    /// From one document into another.
    pub fn new(from: &'a Document, to: &'a mut Document) -> Self {
        Self {
            from,
            to,
            known: BTreeMap::new(),
            waiting: Vec::new(),
        }
    }

    /// An object as it stands in the other document; what it names is copied by `finish`.
    pub fn object(&mut self, object: Object) -> Object {
        match object {
            Object::Reference(id) => Object::Reference(self.named(id)),
            Object::Array(items) => {
                Object::Array(items.into_iter().map(|item| self.object(item)).collect())
            }
            Object::Dictionary(entries) => Object::Dictionary(self.entries(entries)),
            Object::Stream(mut stream) => {
                stream.dict = self.entries(stream.dict);
                Object::Stream(stream)
            }
            plain @ (Object::Null
            | Object::Boolean(_)
            | Object::Integer(_)
            | Object::Real(_)
            | Object::Name(_)
            | Object::String(..)) => plain,
        }
    }

    fn entries(&mut self, entries: Dictionary) -> Dictionary {
        // `Parent` leads to the page tree, `StructParent…` and `Metadata` to nothing that is drawn.
        const NOT_DRAWN: [&[u8]; 4] = [b"Parent", b"StructParent", b"StructParents", b"Metadata"];
        let drawn = entries
            .into_iter()
            .filter(|(key, _)| !NOT_DRAWN.contains(&key.as_slice()));
        drawn
            .map(|(key, value)| (key, self.object(value)))
            .collect()
    }

    fn named(&mut self, id: ObjectId) -> ObjectId {
        *self.known.entry(id).or_insert_with(|| {
            self.waiting.push(id);
            self.to.new_object_id()
        })
    }

    /// Copies all that was named.
    pub fn finish(mut self) {
        while let Some(id) = self.waiting.pop() {
            let object = self.from.get_object(id).cloned().unwrap_or(Object::Null);
            let object = self.object(object);
            self.to.objects.insert(self.known[&id], object);
        }
    }
}
