#![allow(missing_docs, clippy::pedantic)]
use std::fmt::Write;
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
fn letters(o: &mut String, l: &Lettering) {
    let em = lettering::em(l.height, l.weight);
    let t = l.text.replace('&', "&amp;").replace('<', "&lt;");
    write!(o, "<text style='white-space:pre' transform='translate({:.3} {:.3}) rotate({:.2})' font-family='PlexC' font-size='{em:.3}' fill='{}' textLength='{:.3}'>{t}</text>\n", l.at.x, l.at.y, l.angle, col(l.colour), l.width).unwrap();
}
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&a[1]).unwrap();
    let scale = Scale(a[2].parse().unwrap());
    let job = wyeline_job::read(&text).job;
    let net = wyeline_network::build(&job, &text).network;
    let mut pics: Vec<(String, Picture)> = (0..net.levels.len()).map(|i| {
        let o = plan::PlanOptions { level: wyeline_network::model::LevelIx(i as u32), scale, part: Part::default(), labels_along: false };
        (format!("plan{i}"), plan::plan(&net, &o))
    }).collect();
    for corner in [Corner::Sw, Corner::Se] {
        let o = iso::IsoOptions { corner, scale, true_fall: false, part: Part::default(), labels_along: false, grid: false };
        pics.push((corner.word().into(), iso::iso(&net, &o)));
    }
    for (name, p) in pics {
        let b = p.bounds.inflate(8.0, 8.0);
        let mut o = format!("<svg xmlns='http://www.w3.org/2000/svg' width='1800' height='{:.0}' viewBox='{} {} {} {}'><style>@font-face{{font-family:PlexC;src:url(/work/main/assets/fonts/IBMPlexSansCondensed-Regular.ttf)}}</style><rect x='{}' y='{}' width='100%' height='100%' fill='white'/>\n", 1800.0*b.height()/b.width(), b.x0, b.y0, b.width(), b.height(), b.x0, b.y0);
        for l in &p.outlines { for s in &l.strokes { stroke(&mut o, s); } }
        for s in p.symbols.iter().filter(|s| s.kind == picture::SymbolKind::Fixture) { for s in &s.strokes { stroke(&mut o, s); } }
        for m in &p.pipes {
            for (q, r) in &m.pieces { write!(o, "<path d='M{} {} L{} {}' fill='none'", q.x, q.y, r.x, r.y).unwrap(); pen(&mut o, m.pen); o.push_str("/>\n"); }
            for (t, d) in &m.arrows { let n = kurbo::Vec2::new(-d.y, d.x); let q = *t - *d*3.0 + n*0.8; let r = *t - *d*3.0 - n*0.8; writeln!(o, "<path d='M{} {} L{} {} L{} {}z' fill='{}'/>", t.x, t.y, q.x, q.y, r.x, r.y, col(m.pen.colour)).unwrap(); }
        }
        for f in &p.frames { for s in &f.strokes { stroke(&mut o, s); } }
        for s in p.symbols.iter().filter(|s| s.kind != picture::SymbolKind::Fixture) { for t in &s.strokes { stroke(&mut o, t); } for l in &s.letters { letters(&mut o, l); } }
        for l in &p.labels { for s in &l.strokes { stroke(&mut o, s); } for t in &l.lines { letters(&mut o, t); } if let Some((q,r)) = l.leader { writeln!(o, "<path d='M{} {} L{} {}' stroke='black' stroke-width='0.13'/>", q.x,q.y,r.x,r.y).unwrap(); } }
        if name.starts_with("plan") { for s in plan::viewpoint_mark(p.bounds, Corner::Sw) { stroke(&mut o, &s); } }
        o.push_str("</svg>\n");
        std::fs::write(format!("{}-{name}.svg", a[3]), o).unwrap();
    }
}
