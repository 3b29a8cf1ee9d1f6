//! A program that saves without a pause is killed at a thousand random moments. What must hold follows from what it
//! had told before: a save it called done is there, and the one it had begun is there whole or not at all.

use std::env;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use wyeline_keep::Keep;

const KILLS: u32 = 1000;
/// A history grows with each save; a new job now and then keeps the test short.
const KILLS_PER_JOB: u32 = 5;
const JOB: &str = "WYELINE_KEEP_TEST_JOB";
/// Any time will do: nothing here hangs on it.
const NOW: u64 = 1_000;

/// The text number `n`: some 40 kB, each line of it told apart from that of any other number.
fn text(n: u64) -> String {
    use std::fmt::Write;
    let mut text = format!("{n}\n");
    for line in 0..1_000 {
        writeln!(
            text,
            "{n} in line {line}, {:>24}",
            n.wrapping_mul(0x9e37_79b9_7f4a_7c15)
        )
        .unwrap();
    }
    text
}

/// The number of a text, if it is whole.
fn number(of: &str) -> Option<u64> {
    let n = of.lines().next()?.parse().ok()?;
    (of == text(n)).then_some(n)
}

/// The program that is killed; does nothing unless started for it. Tells `s N` before a save, `d N VERSION` after it.
#[test]
fn child_that_saves() {
    let Some(job) = env::var_os(JOB) else { return };
    let mut keep = Keep::open(Path::new(&job), NOW).unwrap();
    let mut told = std::io::stdout();
    let mut n = number(keep.text()).unwrap();
    loop {
        n += 1;
        writeln!(told, "\ns {n}")
            .and_then(|()| told.flush())
            .unwrap();
        let saved = keep.save(keep.version(), &text(n), "next", NOW).unwrap();
        writeln!(told, "\nd {n} {}", saved.version)
            .and_then(|()| told.flush())
            .unwrap();
    }
}

/// Numbers in an order that is always the same (xorshift64, Marsaglia 2003).
struct Delays(u64);

impl Delays {
    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % end
    }
}

/// What the child had told: the last save begun, the last one done and its version.
#[derive(Default)]
struct Told {
    begun: Option<u64>,
    done: Option<(u64, u64)>,
}

impl Told {
    fn line(&mut self, line: &str) {
        let mut words = line.split(' ');
        match (
            words.next(),
            words.next().map(str::parse),
            words.next().map(str::parse),
        ) {
            (Some("s"), Some(Ok(n)), None) => self.begun = Some(n),
            (Some("d"), Some(Ok(n)), Some(Ok(version))) => self.done = Some((n, version)),
            _ => {}
        }
    }

    fn is_inside(&self) -> bool {
        self.begun > self.done.map(|(n, _)| n)
    }
}

fn start(job: &Path) -> Child {
    Command::new(env::current_exe().unwrap())
        .args(["child_that_saves", "--exact", "--nocapture"])
        .env(JOB, job)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Starts the child, kills it, and gives what it told. Three times of four it is killed up to `longest` microseconds
/// after it began its first save; else some time after its start, so that opening is hit too.
fn kill(job: &Path, delays: &mut Delays, longest: u64) -> Told {
    let mut child = start(job);
    let mut told = Told::default();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    if delays.below(4) > 0 {
        let mut line = String::new();
        while told.begun.is_none() {
            line.clear();
            assert_ne!(
                out.read_line(&mut line).unwrap(),
                0,
                "the child ended by itself"
            );
            told.line(line.trim_end());
        }
        thread::sleep(Duration::from_micros(delays.below(longest)));
    } else {
        thread::sleep(Duration::from_micros(delays.below(8_000)));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let mut rest = String::new();
    out.read_to_string(&mut rest).unwrap();
    rest.lines().for_each(|line| told.line(line));
    told
}

fn history_of(job: &Path) -> PathBuf {
    job.with_file_name(".wyeline").join("job.wye.history")
}

/// Half of the kills are on a disk, where a save mostly waits for the disk. The longest delay is two or three saves.
#[test]
fn five_hundred_kills_on_a_disk() {
    kills(
        tempfile::tempdir().unwrap().path(),
        0x2545_f491_4f6c_dd1d,
        30_000,
    );
}

/// The other half are, where there is such a thing, on files held in memory, where a save mostly writes.
#[test]
fn five_hundred_kills_in_memory() {
    let folder = tempfile::tempdir_in("/dev/shm")
        .or_else(|_| tempfile::tempdir())
        .unwrap();
    kills(folder.path(), 0x9e37_79b9_7f4a_7c15, 1_200);
}

/// Half of all kills, with jobs in `folder`, after delays that `seed` decides.
fn kills(folder: &Path, seed: u64, longest: u64) {
    let mut delays = Delays(seed);
    let start = Instant::now();
    let (mut inside, mut saves, mut torn, mut left, mut ended) = (0, 0, 0, 0, 0);
    let (mut job, mut number_before, mut version_before) = (PathBuf::new(), 0, 0);
    for count in 0..KILLS / 2 {
        if count % KILLS_PER_JOB == 0 {
            let place = folder.join(count.to_string());
            fs::create_dir(&place).unwrap();
            job = place.join("job.wye");
            let keep = Keep::create(&job, &text(0), NOW).unwrap();
            (number_before, version_before) = (0, keep.version());
        }
        let told = kill(&job, &mut delays, longest);
        let (done, done_version) = told.done.unwrap_or((number_before, version_before));
        let begun = told.begun.unwrap_or(done);
        saves += done - number_before;
        inside += u32::from(told.is_inside());

        // The file is the old or the new text, whole, before anybody mends anything.
        let raw = number(&fs::read_to_string(&job).unwrap());
        assert!(
            raw == Some(done) || raw == Some(begun),
            "kill {count}: {raw:?} is neither {done} nor {begun}"
        );
        torn += u32::from(!fs::read(history_of(&job)).unwrap().ends_with(b"\n"));
        left += u32::from(job.with_file_name(".job.wye.saving").exists());

        let keep = Keep::open(&job, NOW).unwrap();
        let opened = number(keep.text());
        assert!(
            opened == Some(done) || opened == Some(begun),
            "kill {count}: {opened:?}, not {done} or {begun}"
        );
        assert!(opened >= raw, "kill {count}: opening went back");
        ended += u32::from(opened > raw);
        // One version a save, and none given twice.
        assert!(
            keep.version() >= done_version,
            "kill {count}: version {} after {done_version}",
            keep.version()
        );
        assert_eq!(
            keep.version() > done_version,
            opened > Some(done),
            "kill {count}"
        );
        // History and file say the same, nothing is damaged, nothing left over.
        assert_eq!(
            fs::read_to_string(&job).unwrap(),
            keep.text(),
            "kill {count}"
        );
        assert_eq!(
            keep.at(keep.version()).as_deref(),
            Some(keep.text()),
            "kill {count}"
        );
        assert_eq!(keep.history().last().unwrap().version, keep.version());
        assert!(keep.damaged().is_empty());
        assert!(!job.with_file_name(".job.wye.saving").exists());
        (number_before, version_before) = (opened.unwrap(), keep.version());
    }
    println!(
        "{} kills in {:.1} s, {saves} saves done; {inside} kills inside a save: {torn} tore the history's last \
         line, {left} left a file not yet renamed, {ended} were brought to their end on opening",
        KILLS / 2,
        start.elapsed().as_secs_f64()
    );
    // A test whose kills all miss shows nothing.
    assert!(inside > KILLS / 8, "only {inside} kills fell inside a save");
}
