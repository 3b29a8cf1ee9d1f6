//! Views set side by side on a page: plans on the left, the isometric on the right, or in rows.

use kurbo::{Rect, Size};

/// Space between two views, mm; our choice.
const GAP: f64 = 8.0;

/// Returns a cell for each plan in order, then one for the isometric, that share out `area`; nothing where they do not fit.
pub(crate) fn pack(area: Rect, plans: &[Size], iso: Option<Size>) -> Option<Vec<Rect>> {
    let Some(iso) = iso else {
        return shelves(area, plans);
    };
    if plans.is_empty() {
        return (iso.width <= area.width() && iso.height <= area.height()).then(|| vec![area]);
    }
    beside(area, plans, iso).or_else(|| below(area, plans, iso))
}

/// Plans one below the other on the left.
fn beside(area: Rect, plans: &[Size], iso: Size) -> Option<Vec<Rect>> {
    let left = plans.iter().map(|p| p.width).fold(0.0, f64::max);
    let tall = plans.iter().map(|p| p.height).sum::<f64>() + GAP * (plans.len() - 1) as f64;
    if left + GAP + iso.width > area.width() || tall > area.height() || iso.height > area.height() {
        return None;
    }
    // What is left over in width is shared; in height the plans get even shares of it.
    let spare = area.width() - left - GAP - iso.width;
    let split = area.x0 + left + spare * left / (left + iso.width);
    let each = (area.height() - tall) / plans.len() as f64;
    let mut y = area.y0;
    let mut cells = Vec::new();
    for plan in plans {
        cells.push(Rect::new(area.x0, y, split, y + plan.height + each));
        y += plan.height + each + GAP;
    }
    cells.push(Rect::new(split + GAP, area.y0, area.x1, area.y1));
    Some(cells)
}

/// Plans in a row above.
fn below(area: Rect, plans: &[Size], iso: Size) -> Option<Vec<Rect>> {
    let tall = plans.iter().map(|p| p.height).fold(0.0, f64::max);
    let wide = plans.iter().map(|p| p.width).sum::<f64>() + GAP * (plans.len() - 1) as f64;
    if tall + GAP + iso.height > area.height() || wide > area.width() || iso.width > area.width() {
        return None;
    }
    let spare = area.height() - tall - GAP - iso.height;
    let split = area.y0 + tall + spare * tall / (tall + iso.height);
    let each = (area.width() - wide) / plans.len() as f64;
    let mut x = area.x0;
    let mut cells = Vec::new();
    for plan in plans {
        cells.push(Rect::new(x, area.y0, x + plan.width + each, split));
        x += plan.width + each + GAP;
    }
    cells.push(Rect::new(area.x0, split + GAP, area.x1, area.y1));
    Some(cells)
}

/// In rows from the top, each as high as its highest.
fn shelves(area: Rect, plans: &[Size]) -> Option<Vec<Rect>> {
    let mut cells = Vec::new();
    let (mut x, mut y, mut tall) = (area.x0, area.y0, 0.0_f64);
    for plan in plans {
        if x > area.x0 && x + plan.width > area.x1 {
            x = area.x0;
            y += tall + GAP;
            tall = 0.0;
        }
        if x + plan.width > area.x1 || y + plan.height > area.y1 {
            return None;
        }
        cells.push(Rect::new(x, y, x + plan.width, y + plan.height));
        x += plan.width + GAP;
        tall = tall.max(plan.height);
    }
    if let [only] = cells.as_mut_slice() {
        *only = area;
    }
    Some(cells)
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn cells_lie_in_the_area_hold_their_views_and_share_nothing(
            plans in proptest::collection::vec((10.0_f64..200.0, 10.0_f64..200.0), 0..5),
            iso in proptest::option::of((10.0_f64..250.0, 10.0_f64..250.0)),
        ) {
            let area = Rect::new(10.0, 10.0, 330.0, 250.0);
            let plans: Vec<Size> = plans.into_iter().map(Size::from).collect();
            let iso = iso.map(Size::from);
            if let Some(cells) = pack(area, &plans, iso) {
                let sizes: Vec<Size> = plans.iter().copied().chain(iso).collect();
                proptest::prop_assert_eq!(cells.len(), sizes.len());
                for (i, (cell, size)) in cells.iter().zip(&sizes).enumerate() {
                    proptest::prop_assert!(cell.width() >= size.width - 1e-9 && cell.height() >= size.height - 1e-9);
                    proptest::prop_assert!(area.inset(1e-9).union(*cell).area() <= area.inset(1e-9).area() + 1e-6);
                    for other in &cells[i + 1..] {
                        let shared = cell.intersect(*other);
                        proptest::prop_assert!(shared.width() <= 1e-9 || shared.height() <= 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn a_plan_stands_to_the_left_of_the_isometric() {
        let cells = pack(
            Rect::new(0.0, 0.0, 300.0, 200.0),
            &[Size::new(80.0, 60.0)],
            Some(Size::new(150.0, 180.0)),
        );
        let cells = cells.expect("fits");
        assert!(cells[0].x1 < cells[1].x0);
    }
}
