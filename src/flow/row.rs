//! A network that is a row: all of it between two fixed nodes, each stretch one element or several side by side, as
//! from a supply to the one open bleeder, where port and cup of a master cylinder lie side by side.
//!
//! Then one flow Q goes through every stretch, and the pressures along the row add up to what pushes. Laminar and
//! inertial losses of the single elements add up to (A + B |Q|) Q, a parabola, however many there are. Elements side
//! by side, check valves and tubes beyond laminar flow are replaced by their tangents at the present flows, as in
//! [`super::Solver`], but without a matrix: what is left is the root of one rising parabola. Where nothing needs a
//! tangent that is the answer; else it is found again until it stays where it is.

use super::Contents;
use super::laws::Prepared;

/// Turns after which the row is given up and left to the general method. Warm starts need 1 to 4.
const MOST_TURNS: u32 = 24;
/// The last change of any flow is at most this share of the whole. What is left is of the order of its square over
/// the flow at which the law bends, which for a check valve that opens is the leak at its cracking pressure.
const TOLERANCE: f64 = 1e-12;
/// Disagreement that rounding of the pressures alone can leave, as a share of the largest.
pub(super) const ROUNDING: f64 = 32.0 * f64::EPSILON;

/// Plan and scratch memory for a row.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// The two fixed nodes.
    ends: (usize, usize),
    singles: Vec<Placed>,
    /// Elements side by side, stretch after stretch.
    beside: Vec<Beside>,
    /// Where in `beside` each stretch of several begins and ends.
    groups: Vec<Group>,
    /// Along the row: each stretch and the node that it leads to.
    way: Vec<(Stretch, usize)>,
}

/// From one node of the row to the next.
#[derive(Debug, Clone, Copy)]
enum Stretch {
    Single(Placed),
    /// Which of the groups.
    Group(usize),
}

/// An element, and whether it points along the row.
#[derive(Debug, Clone, Copy)]
struct Placed {
    element: usize,
    along: bool,
}

/// An element beside others, its figures along the row.
#[derive(Debug, Clone, Copy)]
struct Beside {
    placed: Placed,
    flow: f64,
    drop: f64,
    slope: f64,
}

/// Elements side by side, and their common tangent: drop = `drop` + `resistance` (Q − `flow`).
#[derive(Debug, Clone, Copy)]
struct Group {
    from: usize,
    to: usize,
    /// The element with the least slope, whose flow is what the others leave.
    widest: usize,
    drop: f64,
    resistance: f64,
    flow: f64,
}

/// The single elements together: drop = (`linear` + `square` |Q|) Q + `rest`.
#[derive(Debug, Clone, Copy)]
struct Sum {
    linear: f64,
    square: f64,
    rest: f64,
    /// Flow up to which that is exact; below zero if tangents are in it.
    up_to: f64,
}

impl Placed {
    /// A flow along the row as the element's own, and back. Rest is +0 either way.
    #[inline]
    fn turned(self, x: f64) -> f64 {
        if self.along { x } else { 0.0 - x }
    }

    /// Drop along the row, and slope, at a flow along the row.
    #[inline]
    fn drop_and_slope(self, laws: &[Prepared], contents: &[Contents], flow: f64) -> (f64, f64) {
        let (law, inside) = (&laws[self.element], contents[self.element]);
        let (drop, slope) = law.drop_and_slope(self.turned(flow), inside);
        (self.turned(drop), slope)
    }
}

impl Row {
    /// The row that these elements form between two fixed nodes; `None` if they do not.
    pub(super) fn find(ends: &[(usize, usize)], fixed: &[bool]) -> Option<Self> {
        let mut fixed = (0..fixed.len()).filter(|n| fixed[*n]);
        let (start, end) = (fixed.next()?, fixed.next()?);
        if fixed.next().is_some() {
            return None;
        }
        let (singles, beside, groups, way) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let mut row = Self { ends: (start, end), singles, beside, groups, way };
        let (mut node, mut before) = (start, None);
        let mut placed = 0;
        while node != end {
            let leads_on = ends.iter().enumerate().filter_map(|(element, &(from, to))| {
                let other = if from == node {
                    to
                } else if to == node {
                    from
                } else {
                    return None;
                };
                (Some(other) != before).then_some((Placed { element, along: from == node }, other))
            });
            let stretch: Vec<(Placed, usize)> = leads_on.collect();
            // All that leads on must lead to one node.
            let &(first, next) = stretch.first()?;
            if stretch.iter().any(|(_, other)| *other != next) {
                return None;
            }
            if stretch.len() == 1 {
                row.singles.push(first);
                row.way.push((Stretch::Single(first), next));
            } else {
                row.way.push((Stretch::Group(row.groups.len()), next));
                let from = row.beside.len();
                let none = |&(placed, _)| Beside { placed, flow: 0.0, drop: 0.0, slope: 1.0 };
                row.beside.extend(stretch.iter().map(none));
                let to = row.beside.len();
                let (drop, resistance, flow) = (0.0, 0.0, 0.0);
                row.groups.push(Group { from, to, widest: from, drop, resistance, flow });
            }
            placed += stretch.len();
            (before, node) = (Some(node), next);
        }
        (placed == ends.len()).then_some(row)
    }

    /// Nodes that it meets.
    pub(super) fn nodes(&self) -> usize {
        self.way.len() + 1
    }

    /// Finds flows and the pressures of the free nodes, from these flows on. Gives the turns made; `None`, with
    /// everything as it was, if it does not settle.
    pub(super) fn solve(
        &mut self,
        laws: &[Prepared],
        contents: &[Contents],
        pressures_pa: &mut [f64],
        flows: &mut [f64],
    ) -> Option<u32> {
        let (high, low) = (pressures_pa[self.ends.0], pressures_pa[self.ends.1]);
        let blur = ROUNDING * high.abs().max(low.abs());
        for b in &mut self.beside {
            b.flow = b.placed.turned(flows[b.placed.element]);
        }
        let mut whole = match (self.singles.first(), self.groups.first()) {
            (Some(single), _) => single.turned(flows[single.element]),
            (None, Some(group)) => self.beside[group.from..group.to].iter().map(|b| b.flow).sum(),
            (None, None) => return None,
        };
        let mut sum = self.sum(laws, contents, whole);
        for turn in 1..=MOST_TURNS {
            if turn > 1 && whole.abs() > sum.up_to {
                sum = self.sum(laws, contents, whole);
            }
            let (mut linear, mut push) = (sum.linear, high - low - sum.rest);
            for group in &mut self.groups {
                group.touch(laws, contents, &mut self.beside);
                linear += group.resistance;
                push -= group.drop - group.resistance * group.flow;
            }
            let next = root(linear, sum.square, push);
            if !(next.is_finite() && linear.is_finite() && sum.square.is_finite()) {
                return None;
            }
            let exact = next.abs() <= sum.up_to;
            let mut furthest = if exact { 0.0 } else { (next - whole).abs() };
            for group in &self.groups {
                furthest = furthest.max(group.share(next, blur, &mut self.beside));
            }
            whole = next;
            if furthest <= TOLERANCE * whole.abs() {
                self.write(laws, contents, whole, pressures_pa, flows);
                return Some(turn);
            }
        }
        None
    }

    /// The single elements at a flow.
    fn sum(&self, laws: &[Prepared], contents: &[Contents], whole: f64) -> Sum {
        let mut sum = Sum { linear: 0.0, square: 0.0, rest: 0.0, up_to: f64::INFINITY };
        let size = whole.abs();
        for single in &self.singles {
            let (law, inside) = (&laws[single.element], contents[single.element]);
            match law.parabola(inside) {
                Some(law) if size <= law.up_to => {
                    sum.linear += law.linear;
                    sum.square += law.square;
                    sum.rest += single.turned(law.rise_pa);
                    sum.up_to = sum.up_to.min(law.up_to);
                }
                _ => {
                    let (drop, slope) = single.drop_and_slope(laws, contents, whole);
                    sum.linear += slope;
                    sum.rest += drop - slope * whole;
                    sum.up_to = -1.0;
                }
            }
        }
        sum
    }

    /// Writes flows and pressures.
    fn write(
        &self,
        laws: &[Prepared],
        contents: &[Contents],
        whole: f64,
        pressures_pa: &mut [f64],
        flows: &mut [f64],
    ) {
        for single in &self.singles {
            flows[single.element] = single.turned(whole);
        }
        for b in &self.beside {
            flows[b.placed.element] = b.placed.turned(b.flow);
        }
        let mut pressure = pressures_pa[self.ends.0];
        for &(stretch, node) in &self.way {
            let (placed, flow) = match stretch {
                Stretch::Single(placed) => (placed, whole),
                Stretch::Group(number) => {
                    let b = &self.beside[self.groups[number].widest];
                    (b.placed, b.flow)
                }
            };
            pressure -= placed.drop_and_slope(laws, contents, flow).0;
            if node != self.ends.1 {
                pressures_pa[node] = pressure;
            }
        }
    }

    /// Whether fluid goes against the row in one element and along it in one beside.
    pub(super) fn goes_round(&self) -> bool {
        self.groups.iter().any(|g| {
            let beside = &self.beside[g.from..g.to];
            beside.iter().any(|b| b.flow > 0.0) && beside.iter().any(|b| b.flow < 0.0)
        })
    }
}

impl Group {
    /// Lays the tangents at the present flows.
    fn touch(&mut self, laws: &[Prepared], contents: &[Contents], beside: &mut [Beside]) {
        self.widest = self.from;
        for i in self.from..self.to {
            let b = &mut beside[i];
            (b.drop, b.slope) = b.placed.drop_and_slope(laws, contents, b.flow);
            if b.slope < beside[self.widest].slope {
                self.widest = i;
            }
        }
        // From the drop of the widest on: of an open valve it is known far better than its flow.
        self.drop = beside[self.widest].drop;
        let (mut conductance, mut flow) = (0.0, 0.0);
        for b in &beside[self.from..self.to] {
            conductance += 1.0 / b.slope;
            flow += b.flow + (self.drop - b.drop) / b.slope;
        }
        (self.resistance, self.flow) = (1.0 / conductance, flow);
    }

    /// Shares the flow of the whole out along the tangents; gives the furthest that a flow has moved, but for what
    /// rounding of the pressures moves.
    fn share(&self, whole: f64, blur: f64, beside: &mut [Beside]) -> f64 {
        let drop = self.drop + self.resistance * (whole - self.flow);
        let (mut furthest, mut left) = (0.0_f64, whole);
        for (i, b) in beside.iter_mut().enumerate().take(self.to).skip(self.from) {
            if i != self.widest {
                let lack = drop - b.drop;
                let step = lack / b.slope;
                b.flow += step;
                left -= b.flow;
                if lack.abs() > blur {
                    furthest = furthest.max(step.abs());
                }
            }
        }
        let widest = &mut beside[self.widest];
        if (drop - widest.drop).abs() > blur {
            furthest = furthest.max((left - widest.flow).abs());
        }
        widest.flow = left;
        furthest
    }
}

/// The Q at which (A + B |Q|) Q, A above zero and B not below, is what pushes.
#[inline]
fn root(linear: f64, square: f64, push: f64) -> f64 {
    2.0 * push / (linear + (linear * linear + 4.0 * square * push.abs()).sqrt())
}

#[cfg(test)]
mod tests {
    use super::Row;

    /// The length of the row and how many of its stretches are of several elements.
    fn found(ends: &[(usize, usize)], fixed: &[usize]) -> Option<(usize, usize)> {
        let nodes = ends.iter().map(|(from, to)| from.max(to) + 1).max()?;
        let fixed: Vec<bool> = (0..nodes).map(|n| fixed.contains(&n)).collect();
        Row::find(ends, &fixed).map(|row| (row.way.len(), row.groups.len()))
    }

    #[test]
    fn what_is_a_row_is_found_and_nothing_else() {
        // Port and cup, whichever way they point and wherever they stand in the list.
        assert_eq!(found(&[(0, 1), (1, 2), (2, 3), (2, 1)], &[0, 3]), Some((3, 1)));
        assert_eq!(found(&[(3, 1), (0, 1), (2, 3), (1, 3)], &[2, 0]), Some((3, 1)));
        assert_eq!(found(&[(0, 1), (1, 0)], &[0, 1]), Some((1, 1)));
        // A dead end, a fork that joins again further on, a ring behind the end, one end, three.
        assert_eq!(found(&[(0, 1), (1, 2), (1, 3)], &[0, 2]), None);
        assert_eq!(found(&[(0, 1), (1, 2), (2, 3), (1, 3), (3, 4)], &[0, 4]), None);
        assert_eq!(found(&[(0, 1), (1, 2), (2, 3), (3, 1)], &[0, 1]), None);
        assert_eq!(found(&[(0, 1), (1, 2)], &[0]), None);
        assert_eq!(found(&[(0, 1), (1, 2)], &[0, 1, 2]), None);
    }
}
