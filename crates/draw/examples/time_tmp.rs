use wyeline_draw::iso::{iso, IsoOptions};
use wyeline_draw::{Corner, Part};
use wyeline_units::Scale;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&a[1]).unwrap();
    let reading = wyeline_job::read(&text);
    let net = wyeline_network::build(&reading.job, &text).network;
    wyeline_draw::iso::time_tmp(&net);
    let o = IsoOptions { corner: Corner::Se, scale: Scale(24), true_fall: false, part: Part::default(), labels_along: false, grid: false };
    for _ in 0..3 { let t = std::time::Instant::now(); let p = iso(&net, &o); println!("iso {} pipes {:?}", p.pipes.len(), t.elapsed()); }
    for _ in 0..2 { let t = std::time::Instant::now(); wyeline_draw::best::best(&net, &Part::default(), Scale(24)); println!("best {:?}", t.elapsed()); }
}
