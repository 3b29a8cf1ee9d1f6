use std::fmt::Write;
use wyeline_draw::iso::{iso, IsoOptions};
use wyeline_draw::{Corner, Part};
use wyeline_units::Scale;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&a[1]).unwrap();
    let reading = wyeline_job::read(&text);
    let built = wyeline_network::build(&reading.job, &text);
    let net = built.network;
    let scale = Scale(a[2].parse().unwrap());
    let choice = wyeline_draw::best::best(&net, &Part::default(), scale);
    println!("{}", choice.reason);
    for s in &choice.scores { println!("{s:?}"); }
    let corner = match a[3].as_str() { "se" => Corner::Se, "sw" => Corner::Sw, "ne" => Corner::Ne, "nw" => Corner::Nw, _ => choice.corner };
    let t = std::time::Instant::now();
    let p = iso(&net, &IsoOptions { corner, scale, true_fall: false, part: Part::default(), labels_along: false, grid: a.len() > 5 });
    println!("iso {:?} pipes {} shifts {} moved {} labels {}", t.elapsed(), p.pipes.len(), p.shifts.len(), p.moved.len(), p.labels.len());
    for s in &p.shifts { println!("{} off {} by {:?}", net.pipe(s.pipe).id, net.pipe(s.from).id, s.by); }
    let b = p.bounds;
    let mut s = String::new();
    write!(s, "<svg xmlns='http://www.w3.org/2000/svg' width='{0}mm' height='{1}mm' viewBox='{2} {3} {0} {1}'><rect x='{2}' y='{3}' width='{0}' height='{1}' fill='white'/>", b.width(), b.height(), b.x0, b.y0).unwrap();
    let col = |c: wyeline_draw::ink::Colour| format!("rgb({},{},{})", c.0, c.1, c.2);
    let mut stroke = |st: &wyeline_draw::ink::Stroke, s: &mut String| {
        write!(s, "<path d='{}' fill='{}'", st.path.to_svg(), st.fill.map_or("none".into(), col)).unwrap();
        if let Some(p) = st.pen { write!(s, " stroke='{}' stroke-width='{}' stroke-dasharray='{}'", col(p.colour), p.width, p.pattern.lengths().iter().map(|l| l.to_string()).collect::<Vec<_>>().join(" ")).unwrap(); }
        s.push_str("/>");
    };
    let text = |l: &wyeline_draw::ink::Lettering, s: &mut String| {
        write!(s, "<text x='{}' y='{}' font-size='{}' font-family='IBM Plex Sans Condensed' fill='{}' transform='rotate({} {0} {1})'>{}</text>", l.at.x, l.at.y, l.height / 0.698, col(l.colour), l.angle, l.text.replace('&', "&amp;").replace('<', "&lt;")).unwrap();
    };
    for o in &p.outlines { for st in &o.strokes { stroke(st, &mut s); } }
    for f in &p.frames { for st in &f.strokes { stroke(st, &mut s); } }
    for m in &p.pipes {
        for (a, b) in &m.pieces {
            write!(s, "<path d='M{} {} L{} {}' stroke='{}' stroke-width='{}' stroke-dasharray='{}'/>", a.x, a.y, b.x, b.y, col(m.pen.colour), m.pen.width, m.pen.pattern.lengths().iter().map(|l| l.to_string()).collect::<Vec<_>>().join(" ")).unwrap();
        }
        for (t, d) in &m.arrows {
            let n = kurbo::Vec2::new(-d.y, d.x) * 0.8;
            let (q, r) = (*t - *d * 3.0 + n, *t - *d * 3.0 - n);
            write!(s, "<path d='M{} {} L{} {} L{} {}Z' fill='{}'/>", t.x, t.y, q.x, q.y, r.x, r.y, col(m.pen.colour)).unwrap();
        }
    }
    for y in &p.symbols { for st in &y.strokes { stroke(st, &mut s); } for l in &y.letters { text(l, &mut s); } }
    for l in &p.labels { for st in &l.strokes { stroke(st, &mut s); } for w in &l.lines { text(w, &mut s); }
        if let Some((a, b)) = l.leader { write!(s, "<path d='M{} {} L{} {}' stroke='black' stroke-width='0.18'/>", a.x, a.y, b.x, b.y).unwrap(); } }
    s.push_str("</svg>");
    std::fs::write(&a[4], s).unwrap();
}
