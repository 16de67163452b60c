//! One row a layout and order, which is `far first` or `near first`.

use crate::report::Sheet;
use crate::report::sheet;
use crate::report::sheet::Column::{self, One, Sums};
use crate::study::layouts::{Layout, Layouts, Run};

type LayoutLine<'a> = (&'a Layout, &'static str, &'a Run);

fn columns<'a>() -> [Column<LayoutLine<'a>>; 8] {
    [
        One("file", |(l, ..)| l.file.as_str().into()),
        One("title", |(l, ..)| l.title.as_str().into()),
        One("capacity_ml", |(l, ..)| l.capacity_ml.into()),
        One("bleeders", |(l, ..)| l.bleeders.into()),
        One("far_bleeder", |(l, ..)| l.far_bleeder.as_str().into()),
        One("far_path_ml", |(l, ..)| l.far_path_ml.into()),
        One("order", |(_, order, _)| (*order).into()),
        Sums(|(.., run)| (&run.totals, &run.left)),
    ]
}

pub(super) fn render(answer: &Layouts) -> Sheet {
    let rows: Vec<LayoutLine<'_>> = answer.layouts.iter().flat_map(both).collect();
    sheet::render(&columns(), &rows, answer.partial)
}

fn both(l: &Layout) -> [LayoutLine<'_>; 2] {
    [(l, "far first", &l.far_first), (l, "near first", &l.near_first)]
}
