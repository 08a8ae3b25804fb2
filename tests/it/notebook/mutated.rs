//! A good ledger spoilt at one place in every way that hands and disks spoil files: it opens, what
//! was not touched is there, every fault says where and what to do, and nothing is lost.
//!
//! `HILUM_MUTATIONS` sets the number of runs; the seed of a run is its number.

use std::path::Path;
use std::sync::Arc;

use hilum::notebook::disk::Disk;
use hilum::notebook::fault::Fault;
use hilum::notebook::ledger::Ledger;
use hilum::notebook::record::Record;
use hilum::notebook::scan::read_documents;
use hilum::notebook::settings::Settings;
use hilum::notebook::yaml;
use hilum::text::finding::Severity;

use super::ledger::{WHO, at, note};
use super::plug::Plug;
use super::records::read_all;

const FILE: &str = "records/oren.yaml";

/// Records of every kind, by hand and as the program writes them, each with what is peculiar.
fn documents() -> Vec<String> {
    let by_hand = [
        "gathering: 1042\ncollector: A. K. Ashdown\ndate: 2026-05-02\nwith: [M. Holt, T. Oren]\n\
         place: \"terrace: below the spring\"\ncoordinates: 33.50, 36.20\nfresh:\n  petals: red\n  \
         sap: milky\nmoon: waxing\n",
        "part: 1042\ncollector: A. K. Ashdown\nwhat: seed packet\ncount: 2\nripe: yes\n",
        "# on the bus\nnote: 1042\ncollector: A. K. Ashdown\ntext: |-\n  The flask leaked.\n\n  \
         Two seeds lost.\n",
    ];
    let texts = [
        "observation: 1042\ncollector: A. K. Ashdown\ncondition: fresh\nseen:\n  - Petals red\n  \
         - says: Blade 34 mm long\n    remark: damp\nhand lens: 10 x\n",
        "determination: OR-17\ncollector: M. Holt\nname: Papaver cf. rhoeas L.\nby: M. Holt\n\
         key:\n  title: Weeds\n  issue: 3\nroute: [1a, 2b]\nranking:\n  - name: Papaver dubium\n    \
         for: [a, b]\n",
        "gathering: OR-17\ncollector: M. Holt\ndate: 2026-05\naltitude: ca. 640-660 m\n",
    ];
    let mut out: Vec<String> = by_hand.map(|t| format!("---\n{t}...\n")).to_vec();
    let (written, faults) = read_all(&texts.join("---\n"));
    assert_eq!((written.len(), faults), (3, Vec::new()));
    let correction = format!(
        "correction: {}\nset:\n  altitude: 655 m\n  aspect: north\nremove: [datum]\nreason: read \
         again\nby: T. Oren\n",
        written[2].id
    );
    let (more, faults) = read_all(&correction);
    assert_eq!((more.len(), faults), (1, Vec::new()));
    out.extend(written.iter().chain(&more).map(Record::document));
    out
}

struct Random(u64);

impl Random {
    /// splitmix64
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ z >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ z >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ z >> 31) % n.max(1) as u64) as usize
    }

    fn of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }
}

/// What a spoiling leaves of its document.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Left {
    /// The same record.
    Same,
    /// Any, or none with a fault.
    Any,
    /// It and the next may have become one.
    WithNext,
}

type Spoil = fn(&mut Random, &mut Vec<u8>) -> Left;

fn lines(doc: &[u8]) -> Vec<Vec<u8>> {
    doc.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect()
}

/// Changes the fields' lines, the marks left alone.
fn by_lines(random: &mut Random, doc: &mut Vec<u8>, change: fn(&mut Random, &mut Vec<Vec<u8>>)) {
    let mut all = lines(doc);
    let last = all.split_off(all.len() - 1);
    let mut fields = all.split_off(1);
    change(random, &mut fields);
    *doc = [all, fields, last].concat().concat();
}

/// Puts bytes at any place in the fields.
fn put(random: &mut Random, doc: &mut Vec<u8>, bytes: &[u8]) {
    let at = 4 + random.below(doc.len() - 8);
    doc.splice(at..at, bytes.iter().copied());
}

const SPOILS: &[(&str, Spoil)] = &[
    ("a line dropped", |random, doc| {
        by_lines(random, doc, |r, l| {
            l.remove(r.below(l.len()));
        });
        Left::Any
    }),
    ("a line doubled", |random, doc| {
        by_lines(random, doc, |r, l| {
            let k = r.below(l.len());
            l.insert(k, l[k].clone());
        });
        Left::Any
    }),
    ("a line indented", |random, doc| {
        by_lines(random, doc, |r, l| {
            let k = r.below(l.len());
            let by: &[u8] = r.of(&[&b" "[..], b"  ", b"   ", b"\t"]);
            l[k] = [by, &l[k]].concat();
        });
        Left::Any
    }),
    ("a line moved out", |random, doc| {
        by_lines(random, doc, |r, l| {
            let k = r.below(l.len());
            l[k] = l[k].trim_ascii_start().to_vec();
        });
        Left::Any
    }),
    ("two lines changed round", |random, doc| {
        by_lines(random, doc, |r, l| {
            let (a, b) = (r.below(l.len()), r.below(l.len()));
            l.swap(a, b);
        });
        Left::Any
    }),
    ("two values changed round", |random, doc| {
        by_lines(random, doc, |r, l| {
            let part = |l: &[u8]| l.iter().position(|b| *b == b':').unwrap_or(l.len() - 1);
            let (a, b) = (r.below(l.len()), r.below(l.len()));
            let (x, y) = (part(&l[a]), part(&l[b]));
            let v = l[a].split_off(x);
            let y = y.min(l[b].len());
            let w = l[b].split_off(y);
            if a != b {
                l[a].extend(w);
                l[b].extend(v);
            } else {
                l[a].extend(v);
            }
        });
        Left::Any
    }),
    ("a sign put in", |random, doc| {
        let signs: [&[u8]; 17] = [
            b"\"", b"'", b"\t", b": ", b" #", b"&a ", b"*a", b"!x ", b"? ", b"{", b"]", b"%", b"@",
            b"|", b"\r", b"- ", b"\n",
        ];
        let sign = random.of(&signs);
        put(random, doc, sign);
        Left::Any
    }),
    ("bytes that are no UTF-8", |random, doc| {
        put(random, doc, b"\xff\xfe");
        Left::Any
    }),
    ("a zero", |random, doc| {
        put(random, doc, b"\0");
        Left::Any
    }),
    ("zeros where the disk wrote nothing", |random, doc| {
        let from = 4 + random.below(doc.len() - 8);
        let to = from + random.below(doc.len() - 4 - from);
        doc[from..to].fill(0);
        Left::Any
    }),
    ("a byte changed", |random, doc| {
        let at = 4 + random.below(doc.len() - 8);
        doc[at] = random.below(256) as u8;
        Left::Any
    }),
    ("a merge left unfinished", |random, doc| {
        by_lines(random, doc, |r, l| {
            let k = r.below(l.len());
            l.insert(k, r.of(&[&b"<<<<<<< HEAD\n"[..], b"=======\n", b">>>>>>> x\n"]).to_vec());
        });
        Left::Any
    }),
    ("line ends of another system", |_, doc| {
        *doc = String::from_utf8_lossy(doc).replace('\n', "\r\n").into_bytes();
        Left::Same
    }),
    ("a byte order mark", |_, doc| {
        doc.splice(0..0, *b"\xef\xbb\xbf");
        Left::Same
    }),
    ("blanks behind every line", |_, doc| {
        *doc = String::from_utf8_lossy(doc).replace('\n', "  \n").into_bytes();
        Left::Any
    }),
    ("the first mark lost", |_, doc| {
        doc.drain(..4);
        Left::Same
    }),
    ("the last mark lost", |_, doc| {
        doc.truncate(doc.len() - 4);
        Left::Same
    }),
    ("the last mark and the next's first lost", |_, doc| {
        doc.truncate(doc.len() - 4);
        Left::WithNext
    }),
];

fn on(bytes: &[u8]) -> (Plug, Ledger) {
    let plug = Plug::new(1);
    let disk: Arc<dyn Disk> = Arc::new(plug.clone());
    let folder = Path::new("/oren");
    drop(Ledger::begin(folder, disk.clone(), &Settings::new("Oren".into())).unwrap());
    disk.append(&folder.join(FILE), bytes).unwrap();
    let ledger = Ledger::open(folder, disk).unwrap();
    (plug, ledger)
}

fn records(ledger: &Ledger) -> Vec<Record> {
    let placed = ledger.everything(&mut Vec::new()).unwrap();
    placed.into_iter().map(|p| p.record).collect()
}

fn well_said(faults: &[Fault], bytes: &[u8]) {
    let last = 1 + bytes.iter().filter(|b| **b == b'\n').count();
    for f in faults {
        assert!(f.file == FILE && (1..=last).contains(&f.line), "{f}");
        assert!(!f.finding.remedy.is_empty(), "{f}");
    }
}

/// Whether a document says anything.
fn is_blank(doc: &[u8]) -> bool {
    let said = |l: &[u8]| !matches!(l, b"" | b"---" | b"...") && !l.starts_with(b"#");
    !doc.split(|b| *b == b'\n').any(|l| said(l.trim_ascii()))
}

/// Every field that stands in a document stands in its record.
fn nothing_left_out(doc: &[u8], record: &Record) {
    let text = std::str::from_utf8(doc).unwrap().trim_start_matches('\u{feff}');
    let fields = record.fields();
    for (name, field) in yaml::read(text).unwrap().unwrap() {
        let no = field.value.in_a_line() == "no";
        let kept = fields.contains_key(&name) || field.value.is_empty() || no;
        assert!(kept, "\"{name}\" is lost:\n{text}\n{fields:?}");
    }
}

fn spoil(seed: u64, tally: &mut [usize; 3]) {
    let random = &mut Random(seed);
    let good = documents();
    let j = random.below(good.len() - 1);
    let mut docs: Vec<Vec<u8>> = good.iter().map(|d| d.clone().into_bytes()).collect();
    let (what, how) = SPOILS[seed as usize % SPOILS.len()];
    let mut left = how(random, &mut docs[j]);
    if left == Left::WithNext {
        docs[j + 1].drain(..4);
    }
    // A lost first mark joins the first comment to the document before it, which ends all the same.
    if what == "the first mark lost" && j == 0 {
        left = Left::Same;
    }
    let bytes = docs.concat();
    let say = || format!("seed {seed}, {what}:\n{}", String::from_utf8_lossy(&docs[j]));
    let (plug, mut ledger) = on(&bytes);
    let faults = ledger.faults().unwrap();
    well_said(&faults, &bytes);
    let found = records(&ledger);
    for (i, doc) in good.iter().enumerate() {
        let (record, _) = read_all(doc);
        let touched = i == j && left != Left::Same || left == Left::WithNext && i == j + 1;
        assert!(touched || found.contains(&record[0]), "record {i} is gone; {}", say());
    }
    let first = 1 + docs[..j].concat().iter().filter(|b| **b == b'\n').count();
    let lines = docs[j].iter().filter(|b| **b == b'\n').count();
    let here = first..=first + lines;
    let refused = |f: &Fault| f.finding.severity == Severity::Error && here.contains(&f.line);
    if left == Left::Any {
        match found.len() + 1 - good.len() {
            0 => {
                let told = is_blank(&docs[j]) || faults.iter().any(refused);
                assert!(told, "it is left out without a word; {}\n{faults:?}", say());
                tally[0] += 1;
            }
            1 => {
                nothing_left_out(&docs[j], &found[j]);
                tally[1] += 1;
            }
            n => panic!("{n} records of one; {}", say()),
        }
    } else {
        tally[2] += 1;
    }
    ledger.append(&[note(9, "after", 9)], WHO, &at(9)).unwrap();
    assert_eq!(records(&ledger).len(), found.len() + 1, "{}", say());
    assert_eq!(plug.contents()[&Path::new("/oren").join(FILE)], bytes, "{}", say());
    drop(ledger);
    let again = Ledger::open(Path::new("/oren"), Arc::new(plug)).unwrap();
    let fresh = |f: &&Fault| f.finding.rule != "no-gathering";
    let now = again.faults().unwrap();
    assert!(faults.iter().filter(fresh).all(|f| now.contains(f)), "{}", say());
}

#[test]
fn a_ledger_spoilt_at_one_place_keeps_the_rest() {
    let runs = std::env::var("HILUM_MUTATIONS").ok().and_then(|n| n.parse().ok()).unwrap_or(1500);
    let mut tally = [0; 3];
    for seed in 0..runs {
        spoil(seed, &mut tally);
    }
    let [refused, read, same] = tally;
    eprintln!("{runs} spoilt: {refused} refused with a fault, {read} read, {same} the same");
    assert!(refused > 100 && read > 100 && same > 100, "{tally:?}");
}

/// Cut at every byte: what is whole before the cut is there, the rest is told and kept.
#[test]
fn a_ledger_cut_anywhere_keeps_what_is_before() {
    let good = documents();
    let bytes = good.concat().into_bytes();
    for cut in 0..=bytes.len() {
        let (plug, mut ledger) = on(&bytes[..cut]);
        let faults = ledger.faults().unwrap();
        well_said(&faults, &bytes[..cut]);
        let found = records(&ledger);
        let mut end = 0;
        let mut whole = 0;
        for doc in &good {
            end += doc.len();
            if end <= cut {
                assert!(found.contains(&read_all(doc).0[0]), "cut at {cut}");
                whole = end;
            }
        }
        // told, unless it is a record by itself
        let tail = &bytes[whole..cut];
        let torn = faults.iter().any(|f| f.finding.rule == "half-written");
        let more = found.len()
            > good
                .iter()
                .filter(|d| bytes[..whole].windows(d.len()).any(|w| w == d.as_bytes()))
                .count();
        assert!(torn || more || is_blank(tail), "{:?}", String::from_utf8_lossy(tail));
        // the next record in that file takes nothing away
        ledger.append(&[note(9, "after", 9)], "oren", &at(9)).unwrap();
        assert_eq!(records(&ledger).len(), found.len() + 1, "cut at {cut}");
        let kept =
            plug.contents().values().any(|b| b.windows(tail.len().max(1)).any(|w| w == tail));
        assert!(kept || tail.is_empty(), "cut at {cut}");
    }
}

/// A file that is no ledger: its faults are told as far as anyone would read them.
#[test]
fn of_very_many_faults_the_first_are_told() {
    let bytes = b"a\n---\n".repeat(5000);
    let (_, ledger) = on(&bytes);
    let faults = ledger.faults().unwrap();
    well_said(&faults, &bytes);
    assert_eq!(faults.len(), 1001);
    assert!(faults[1000].finding.what.contains("4000 more"), "{}", faults[1000]);
    let mut found = Vec::new();
    assert_eq!(ledger.everything(&mut found).unwrap(), []);
    assert_eq!(found, faults);
}

/// What a file cut off in the middle ends with is not taken in as if it were whole.
#[test]
fn a_file_that_was_cut_off_is_taken_in_without_its_end() {
    let text = [note(1, "one", 1), note(1, "two\nand more", 2)].map(|n| n.document()).concat();
    let cut = &text[..text.len() - "  and more\n...\n".len()];
    let mut faults = Vec::new();
    let found = read_documents(cut.as_bytes(), FILE, &mut faults);
    assert_eq!(found.len(), 1);
    assert_eq!(faults[0].finding.rule, "half-written");
    well_said(&faults, cut.as_bytes());
    assert_eq!(read_documents(text.as_bytes(), FILE, &mut Vec::new()).len(), 2);
}

/// A record whose id is a person's own, before a tail that was cut off: the next document ends it.
#[test]
fn a_record_before_a_torn_tail_is_whole() {
    let text = "---\nnote: 1\ncollector: X\nid: mine\ntext: a\n---\nnote: 2\ncollec";
    let (_, ledger) = on(text.as_bytes());
    assert_eq!(ledger.catalogue().len(), 1);
    assert_eq!(records(&ledger).len(), 1);
}

/// A record that a person ended without any mark.
#[test]
fn a_last_record_without_an_end_mark_is_whole() {
    let (_, ledger) = on(b"note: 1\ncollector: X\ntext: a\n---\nnote: 2\ncollector: X\ntext: b");
    assert_eq!(ledger.catalogue().len(), 2);
    assert_eq!(records(&ledger).len(), 2);
}
