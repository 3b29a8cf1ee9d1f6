use std::time::Instant;
use wyeline_sheet::{Options, Views, Paper};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&args[1]).unwrap();
    let out = &args[2];
    let mut o = Options::default();
    for a in &args[3..] {
        match a.as_str() {
            "plan" => o.views = Views::Plan,
            "both" => o.views = Views::Both,
            "portrait" => o.orientation = Some(wyeline_sheet::Orientation::Portrait),
            "landscape" => o.orientation = Some(wyeline_sheet::Orientation::Landscape),
            "sw" => o.corner = Some(wyeline_draw::Corner::Sw),
            "se" => o.corner = Some(wyeline_draw::Corner::Se),
            "grid" => o.grid = true,
            "time" => {}
            s if s.parse::<u32>().is_ok() => o.scale = Some(wyeline_units::Scale(s.parse().unwrap())),
            p => o.paper = Some(Paper::named(p).unwrap()),
        }
    }
    let t = Instant::now();
    let (job, _) = { let r = wyeline_job::read(&text); (r.job, r.diagnostics) };
    let built = wyeline_network::build(&job, &text);
    let t1 = t.elapsed();
    for d in built.diagnostics.iter().take(5) { eprintln!("{:?} {}", d.code, d.message); }
    let _ = wyeline_sheet::sheets(&built.network, &o);
    let t2 = Instant::now();
    let layout = wyeline_sheet::sheets(&built.network, &o).unwrap();
    let e2 = t2.elapsed();
    let t3 = Instant::now();
    let svgs: Vec<String> = layout.sheets.iter().map(wyeline_exchange::svg).collect();
    let e3 = t3.elapsed();
    let t4 = Instant::now();
    let pdf = wyeline_exchange::pdf(&layout.sheets).unwrap();
    let e4 = t4.elapsed();
    eprintln!("pipes {} read+build {t1:?} sheets {e2:?} ({}) svg {e3:?} {} kB pdf {e4:?} {} kB", built.network.pipes.len(), layout.sheets.len(), svgs.iter().map(String::len).sum::<usize>()/1000, pdf.len()/1000);
    for r in layout.remarks.iter().take(12) { eprintln!("remark: {r}"); }
    if args.iter().any(|a| a == "time") { return; }
    std::fs::write(format!("{out}.pdf"), pdf).unwrap();
    for (i, (sheet, s)) in layout.sheets.iter().zip(&svgs).enumerate().take(8) {
        std::fs::write(format!("{out}-{}.svg", i + 1), s).unwrap();
        let t5 = Instant::now();
        let p = wyeline_exchange::png(sheet, 120.0).unwrap();
        eprintln!("png {:?}", t5.elapsed());
        std::fs::write(format!("{out}-{}.png", i + 1), p).unwrap();
    }
}
