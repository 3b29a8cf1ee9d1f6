#![allow(missing_docs, clippy::pedantic)]
use std::fmt::Write;
use std::time::Instant;
use wyeline_draw::ink::*;
use wyeline_draw::*;
use wyeline_units::Scale;
fn col(c: Colour) -> String { format!("rgb({},{},{})", c.0, c.1, c.2) }
fn stroke(o: &mut String, s: &Stroke) {
    let fill = s.fill.map_or("none".into(), col);
    write!(o, "<path d='{}' fill='{}'", s.path.to_svg(), fill).unwrap();
    if let Some(p) = s.pen { pen(o, p); }
    o.push_str("/>\n");
}
fn pen(o: &mut String, p: Pen) {
    write!(o, " stroke='{}' stroke-width='{}'", col(p.colour), p.width).unwrap();
    if !p.pattern.lengths().is_empty() {
        let d: Vec<String> = p.pattern.lengths().iter().map(|x| x.to_string()).collect();
        write!(o, " stroke-dasharray='{}'", d.join(" ")).unwrap();
    }
}
fn letters(o: &mut String, l: &Lettering, halo: bool) {
    let em = lettering::em(l.height, l.weight);
    let w = if l.weight == Weight::SemiBold { 600 } else { 400 };
    let t = l.text.replace('&', "&amp;").replace('<', "&lt;");
    let h = if halo { " stroke='white' stroke-width='0.6' paint-order='stroke'" } else { "" };
    write!(o, "<text style='white-space:pre' transform='translate({:.3} {:.3}) rotate({:.2})' font-family='PlexC' font-size='{em:.3}' font-weight='{w}' fill='{}'{h} textLength='{:.3}'>{t}</text>\n", l.at.x, l.at.y, l.angle, col(l.colour), l.width).unwrap();
}
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&a[1]).unwrap();
    let scale = Scale(a[2].parse().unwrap());
    let along = a.get(4).is_some_and(|x| x == "along");
    let areas = a.get(4).is_some_and(|x| x == "areas");
    let job = wyeline_job::read(&text).job;
    let net = wyeline_network::build(&job, &text).network;
    for corner in Corner::ALL {
        let o = iso::IsoOptions { corner, scale, true_fall: false, part: Part::default(), labels_along: along, grid: false };
        let mut p = iso::iso(&net, &o);
        let mut q = p.clone();
        q.labels.clear();
        q.overflow.clear();
        let (mut best, mut whole) = (f64::MAX, f64::MAX);
        for _ in 0..20 {
            let mut r = q.clone();
            let t = Instant::now();
            label::place(&net, &mut r, &label::Options { along });
            best = best.min(t.elapsed().as_secs_f64() * 1e3);
            let t = Instant::now();
            let _ = iso::iso(&net, &o);
            whole = whole.min(t.elapsed().as_secs_f64() * 1e3);
        }
        println!("TIME {}: pipes {} symbols {} place {best:.3} ms of iso {whole:.3}", corner.word(), p.pipes.len(), p.symbols.len());
        let q = label::quality(&p);
        println!("  {} {q:?}", corner.word());
        for t in label::check(&p) { println!("  TOUCH {t:?}"); }
        for t in &p.overflow { println!("  OVER {t:?}"); }
        let mut b = p.bounds;
        for l in &p.labels { for c in l.area { b = b.union_pt(c); } }
        for m in &p.pipes { for c in &m.pieces { b = b.union_pt(c.0).union_pt(c.1); } }
        let b = b.inflate(5.0, 5.0);
        let mut s = format!("<svg xmlns='http://www.w3.org/2000/svg' width='{}mm' height='{}mm' viewBox='{} {} {} {}'><style>@font-face{{font-family:PlexC;src:url(/work/main/assets/fonts/IBMPlexSansCondensed-Regular.ttf);font-weight:400}}@font-face{{font-family:PlexC;src:url(/work/main/assets/fonts/IBMPlexSansCondensed-SemiBold.ttf);font-weight:600}}</style><rect x='{}' y='{}' width='100%' height='100%' fill='white'/>\n", b.width(), b.height(), b.x0, b.y0, b.width(), b.height(), b.x0, b.y0);
        for x in &p.outlines { for k in &x.strokes { stroke(&mut s, k); } }
        for x in &p.frames { for k in &x.strokes { stroke(&mut s, k); } }
        for x in p.symbols.iter().filter(|x| x.kind == picture::SymbolKind::Fixture) { for k in &x.strokes { stroke(&mut s, k); } }
        for m in &p.pipes {
            for (u, v) in &m.pieces { write!(s, "<path d='M{} {}L{} {}'", u.x, u.y, v.x, v.y).unwrap(); pen(&mut s, m.pen); s.push_str("/>\n"); }
            for (t, w) in &m.arrows {
                let bk = *t - *w * style::sizes().arrow_length; let sd = kurbo::Vec2::new(-w.y, w.x) * style::sizes().arrow_width / 2.0;
                let (x, y) = (bk + sd, bk - sd);
                write!(s, "<path d='M{} {}L{} {}L{} {}Z' fill='{}'/>\n", t.x, t.y, x.x, x.y, y.x, y.y, col(m.pen.colour)).unwrap();
            }
        }
        for x in p.symbols.iter().filter(|x| x.kind != picture::SymbolKind::Fixture) { for k in &x.strokes { stroke(&mut s, k); } for l in &x.letters { letters(&mut s, l, false); }
            if areas { for r in &x.boxes { write!(s, "<rect x='{}' y='{}' width='{}' height='{}' fill='rgba(255,0,0,.15)'/>", r.x0, r.y0, r.width(), r.height()).unwrap(); } } }
        for l in &p.labels {
            for k in &l.strokes { stroke(&mut s, k); }
            for t in &l.lines { letters(&mut s, t, true); }
            if let Some((u, v)) = l.leader { write!(s, "<path d='M{} {}L{} {}' stroke='black' stroke-width='.18'/>\n", u.x, u.y, v.x, v.y).unwrap(); }
            if areas { let c = l.area; write!(s, "<path d='M{} {}L{} {}L{} {}L{} {}Z' fill='rgba(0,0,255,.12)'/>\n", c[0].x, c[0].y, c[1].x, c[1].y, c[2].x, c[2].y, c[3].x, c[3].y).unwrap(); }
        }
        s.push_str("</svg>");
        std::fs::write(format!("{}-{}.svg", a[3], corner.word()), s).unwrap();
    }
}
