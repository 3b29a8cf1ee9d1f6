//! The PNG of a sheet, and the same sheet's PDF drawn by another renderer.

mod support;

use std::process::Command;

use wyeline_exchange::png::{PngError, png};

/// Width, height and brightness of every dot, 0 (black) to 255.
fn grey(bytes: &[u8]) -> (usize, usize, Vec<u8>) {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().expect("a PNG");
    let mut data = vec![0; reader.output_buffer_size().expect("small enough")];
    let info = reader.next_frame(&mut data).expect("whole");
    let step = info.color_type.samples();
    let dots = data[..info.buffer_size()]
        .chunks_exact(step)
        .map(|dot| {
            (dot.iter().take(3).map(|v| u32::from(*v)).sum::<u32>() / step.min(3) as u32) as u8
        })
        .collect();
    (info.width as usize, info.height as usize, dots)
}

#[test]
fn a_picture_has_the_dots_its_paper_asks_for() {
    let sheet = &support::ten_feet().sheets[0];
    let (width, height, dots) = grey(&png(sheet, 100.0).expect("drawn"));
    // 17 x 11 in at 100 dots an inch.
    assert_eq!((width, height), (1700, 1100));
    let inked = dots.iter().filter(|d| **d < 128).count();
    assert!(inked > 1000 && inked < dots.len() / 5, "{inked}");
}

#[test]
fn lettering_is_drawn_although_the_machines_fonts_are_not_looked_at() {
    // The job's name stands 4.5 mm high in the title block; without a font nothing would be there.
    let mut sheet = support::ten_feet().sheets[0].clone();
    let with = grey(&png(&sheet, 100.0).expect("drawn")).2;
    strip(&mut sheet.items);
    let without = grey(&png(&sheet, 100.0).expect("drawn")).2;
    let dark = |dots: &[u8]| dots.iter().filter(|d| **d < 128).count();
    assert!(
        dark(&with) > dark(&without) + 2000,
        "{} and {}",
        dark(&with),
        dark(&without)
    );
}

/// Takes all lettering away.
fn strip(items: &mut Vec<wyeline_sheet::Item>) {
    items.retain(|i| !matches!(i, wyeline_sheet::Item::Text(_)));
    for item in items {
        if let wyeline_sheet::Item::Group(group) = item {
            strip(&mut group.items);
        }
    }
}

/// `fi` as one line of lettering is what `f` and `i` are, each set where the advances put it: no ligature takes their place.
#[test]
fn letters_are_set_one_by_one() {
    let word = |text: &str, x: f64| {
        let weight = wyeline_draw::ink::Weight::Regular;
        wyeline_sheet::Item::Text(wyeline_sheet::Text {
            class: "",
            data: Vec::new(),
            lettering: wyeline_draw::ink::Lettering {
                text: text.to_owned(),
                at: kurbo::Point::new(x, 50.0),
                angle: 0.0,
                height: 20.0,
                weight,
                colour: wyeline_draw::ink::Colour::BLACK,
                width: wyeline_draw::lettering::width(text, 20.0, weight),
            },
            halo: false,
        })
    };
    let step = wyeline_draw::lettering::width("f", 20.0, wyeline_draw::ink::Weight::Regular);
    let mut sheet = support::ten_feet().sheets[0].clone();
    sheet.items = vec![word("fi", 50.0)];
    let (_, _, together) = grey(&png(&sheet, 100.0).expect("drawn"));
    sheet.items = vec![word("f", 50.0), word("i", 50.0 + step)];
    let (_, _, apart) = grey(&png(&sheet, 100.0).expect("drawn"));
    // Edges may be shaded otherwise by a little.
    let differs = |(a, b): &(&u8, &u8)| a.abs_diff(**b) > 64;
    let different = together.iter().zip(&apart).filter(differs).count();
    let inked = apart.iter().filter(|dot| **dot < 128).count();
    assert!(
        inked > 500 && different == 0,
        "{different} of {inked} inked dots"
    );
}

#[test]
fn a_picture_without_dots_or_with_too_many_is_refused() {
    let sheet = &support::ten_feet().sheets[0];
    for dpi in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(matches!(png(sheet, dpi), Err(PngError::Size(..))), "{dpi}");
    }
}

/// SVG and PDF are two writers of one sheet: drawn by two renderers they have to look the same.
#[test]
fn the_pdf_drawn_by_another_renderer_looks_like_the_svg() {
    if Command::new("pdftoppm").arg("-v").output().is_err() {
        assert!(std::env::var_os("CI").is_none(), "pdftoppm is missing");
        eprintln!("skipped: pdftoppm is not installed");
        return;
    }
    let layout = support::ten_feet();
    let (width, height, ours) = grey(&png(&layout.sheets[0], 100.0).expect("drawn"));
    let folder = std::env::temp_dir().join(format!("wyeline-pdf-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the other renderer");
    let file = folder.join("sheet.pdf");
    std::fs::write(
        &file,
        wyeline_exchange::pdf(&layout.sheets).expect("written"),
    )
    .expect("room on disk");
    let done = Command::new("pdftoppm")
        .args(["-r", "100", "-f", "1", "-l", "1", "-png", "-singlefile"])
        .args([&file, &folder.join("sheet")])
        .status()
        .expect("it runs");
    assert!(done.success());
    let (other_width, other_height, theirs) =
        grey(&std::fs::read(folder.join("sheet.png")).expect("drawn"));
    std::fs::remove_dir_all(&folder).expect("it was there");
    assert!(width.abs_diff(other_width) <= 1 && height.abs_diff(other_height) <= 1);
    // A dark dot of either has a darker than white dot of the other within one dot: edges may be rounded differently,
    // but no mark may be missing or stand elsewhere.
    let near = |dots: &[u8], (w, h): (usize, usize), x: usize, y: usize| {
        (y.saturating_sub(1)..=(y + 1).min(h - 1))
            .any(|j| (x.saturating_sub(1)..=(x + 1).min(w - 1)).any(|i| dots[j * w + i] < 220))
    };
    let (mut dark, mut lost) = (0_usize, 0_usize);
    let both = [
        ((width, height), &ours, (other_width, other_height), &theirs),
        ((other_width, other_height), &theirs, (width, height), &ours),
    ];
    for ((w, h), dots, size, others) in both {
        for y in 0..h.min(size.1) {
            for x in 0..w.min(size.0) {
                if dots[y * w + x] < 96 {
                    dark += 1;
                    lost += usize::from(!near(others, size, x, y));
                }
            }
        }
    }
    assert!(
        dark > 2000 && lost * 1000 <= dark,
        "{lost} of {dark} dark dots have no match"
    );
}
