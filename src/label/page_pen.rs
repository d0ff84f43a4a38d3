//! Where the pen is while the text of a PDF's page is read: enough to tell whether two pieces stand on one line.
//!
//! It follows the operators that move (ISO 32000-1, 8.4.4 and 9.4.2) and knows nothing of what is drawn.

use lopdf::content::Operation;

/// So much of the size of type may two pieces of one line stand above one another.
const SAME_LINE: f32 = 0.4;

/// A matrix in the order of PDF: a, b, c, d, e, f.
type Matrix = [f32; 6];

const STILL: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];

/// A pen that writes text.
pub struct Pen {
    page: Matrix,
    kept: Vec<Matrix>,
    /// Where it writes next.
    text: Matrix,
    /// Where its line began.
    line: Matrix,
    leading: f32,
    size: f32,
    moved: bool,
    /// Where it wrote last: the place and the direction, and the size of type there.
    wrote: Option<([f32; 4], f32)>,
}

impl Default for Pen {
    fn default() -> Self {
        Self {
            page: STILL,
            kept: Vec::new(),
            text: STILL,
            line: STILL,
            leading: 0.0,
            size: 1.0,
            moved: true,
            wrote: None,
        }
    }
}

impl Pen {
    /// Moves as an operator says.
    pub fn take(&mut self, operation: &Operation) {
        let figures: Vec<f32> = operation
            .operands
            .iter()
            .filter_map(|operand| operand.as_float().ok())
            .collect();
        match (operation.operator.as_str(), figures.as_slice()) {
            ("q", _) => self.kept.push(self.page),
            ("Q", _) => self.page = self.kept.pop().unwrap_or(STILL),
            ("cm", &[a, b, c, d, e, f]) => self.page = times([a, b, c, d, e, f], self.page),
            ("BT", _) => self.go_to(STILL),
            ("Tm", &[a, b, c, d, e, f]) => self.go_to([a, b, c, d, e, f]),
            ("Td", &[x, y]) => self.go_by(x, y),
            ("TD", &[x, y]) => {
                self.leading = -y;
                self.go_by(x, y);
            }
            ("TL", &[leading]) => self.leading = leading,
            ("T*" | "'" | "\"", _) => self.go_by(0.0, -self.leading),
            ("Tf", &[size]) => self.size = size,
            _ => {}
        }
    }

    /// Whether it has moved since it wrote.
    pub fn moved(&self) -> bool {
        self.moved
    }

    /// Whether it is on the line on which it wrote last.
    pub fn stays_on_line(&self) -> bool {
        let Some(([x, y, along, up], size)) = self.wrote else {
            return false;
        };
        let [here_x, here_y, here_along, here_up] = self.place();
        let off = (here_y - y) * along - (here_x - x) * up;
        let turned = along * here_up - up * here_along;
        off.abs() <= SAME_LINE * size && turned.abs() < 0.1
    }

    /// Writes.
    pub fn write(&mut self) {
        let [_, _, c, d, _, _] = times(self.text, self.page);
        self.wrote = Some((self.place(), c.hypot(d) * self.size.abs()));
        self.moved = false;
    }

    /// Where it is, and in which direction it writes.
    fn place(&self) -> [f32; 4] {
        let [a, b, _, _, x, y] = times(self.text, self.page);
        let long = a.hypot(b).max(f32::MIN_POSITIVE);
        [x, y, a / long, b / long]
    }

    fn go_by(&mut self, x: f32, y: f32) {
        self.go_to(times([1.0, 0.0, 0.0, 1.0, x, y], self.line));
    }

    fn go_to(&mut self, place: Matrix) {
        (self.text, self.line) = (place, place);
        self.moved = true;
    }
}

/// The matrix that does the one and then the other.
fn times(first: Matrix, then: Matrix) -> Matrix {
    let [a, b, c, d, e, f] = first;
    let [u, v, w, x, y, z] = then;
    [
        a * u + b * w,
        a * v + b * x,
        c * u + d * w,
        c * v + d * x,
        e * u + f * w + y,
        e * v + f * x + z,
    ]
}
