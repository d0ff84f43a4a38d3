//! Puts slabs on pages: nothing is cut, nothing overlaps, and what belongs together stays together.

use crate::label::{Area, Item, Layout, Length, Point, Said, Size};

use super::slab::{Boxed, Keep, Slab};

/// What stands on a page: layouts and their corners.
pub type Placed = Vec<(Point, Layout)>;

/// From a box's frame to what stands in it.
pub const BOX_PAD: Length = Length::of_micrometres(3_500);
/// The line of a box.
const BOX_LINE: Length = Length::of_micrometres(700);

/// Puts slabs on as many pages as they take, in this room of each.
pub fn flow(slabs: &[Slab], body: Area) -> Vec<Placed> {
    let mut press = Press {
        body,
        pages: vec![Vec::new()],
        y: Length::ZERO,
        boxed: None,
    };
    let mut from = 0;
    while from < slabs.len() {
        let kept = slabs[from..]
            .iter()
            .take_while(|slab| slab.keep == Keep::WithNext);
        let to = (from + kept.count() + 1).min(slabs.len());
        press.chain(&slabs[from..to]);
        from = to;
        if slabs[to - 1].keep == Keep::EndOfPage && to < slabs.len() {
            press.turn();
        }
    }
    press.close_box();
    press.pages
}

struct Press {
    body: Area,
    pages: Vec<Placed>,
    /// How far down the body the page at hand is filled.
    y: Length,
    /// Where the open box began.
    boxed: Option<Length>,
}

impl Press {
    fn is_at_top(&self) -> bool {
        self.y == Length::ZERO
    }

    /// Places slabs that go together, on a new page where only that holds them.
    fn chain(&mut self, slabs: &[Slab]) {
        let all: Length = slabs.iter().map(|slab| slab.above + slab.height).sum();
        let header = slabs[0].header.as_ref().map_or(Length::ZERO, |h| h.height);
        let on_new = all + header + pads(&slabs[0]) - slabs[0].above;
        let fits_here = self.y + all + pads(&slabs[0]) <= self.body.size.height;
        if !self.is_at_top() && !fits_here && on_new <= self.body.size.height {
            self.turn();
        }
        for slab in slabs {
            let needs = slab.above + slab.height + pads(slab);
            if !self.is_at_top() && self.y + needs > self.body.size.height {
                self.turn();
            }
            self.place(slab);
        }
    }

    fn place(&mut self, slab: &Slab) {
        if slab.boxed != Boxed::Too {
            self.close_box();
        }
        if !self.is_at_top() {
            self.y += slab.above;
        } else if let Some(header) = &slab.header {
            self.put(header);
        }
        if slab.boxed != Boxed::Not && self.boxed.is_none() {
            self.boxed = Some(self.y);
            self.y += BOX_PAD;
        }
        self.put(slab);
    }

    fn put(&mut self, slab: &Slab) {
        let corner = Point {
            x: self.body.at.x,
            y: self.body.at.y + self.y,
        };
        let layout = Layout {
            name: String::new(),
            size: Size {
                width: self.body.size.width,
                height: slab.height,
            },
            items: slab.items.clone(),
            said: Said::default(),
        };
        let page = self.pages.last_mut().expect("there is a first page");
        page.push((corner, layout));
        page.extend(slab.labels.iter().map(|(at, label)| {
            let at = Point {
                x: corner.x + at.x,
                y: corner.y + at.y,
            };
            (at, label.clone())
        }));
        self.y += slab.height;
    }

    /// Draws the frame of the open box around what stands in it on this page.
    fn close_box(&mut self) {
        let Some(top) = self.boxed.take() else {
            return;
        };
        self.y += BOX_PAD;
        let size = Size {
            width: self.body.size.width,
            height: self.y - top,
        };
        let origin = Point {
            x: Length::ZERO,
            y: Length::ZERO,
        };
        let area = Area { at: origin, size };
        let stroke = BOX_LINE;
        let frame = Layout {
            name: String::new(),
            size,
            items: vec![Item::Frame { area, stroke }],
            said: Said::default(),
        };
        let corner = Point {
            x: self.body.at.x,
            y: self.body.at.y + top,
        };
        let page = self.pages.last_mut().expect("there is a first page");
        page.push((corner, frame));
    }

    fn turn(&mut self) {
        self.close_box();
        self.pages.push(Vec::new());
        self.y = Length::ZERO;
    }
}

/// The room that a box needs above and below what stands in it.
fn pads(slab: &Slab) -> Length {
    match slab.boxed {
        Boxed::Not => Length::ZERO,
        Boxed::First | Boxed::Too => BOX_PAD * 2,
    }
}
