//! Sound sheets: keys of made taxa, in which every rule of style is kept.

use std::fmt::Write;

use hilum::check::{Accepted, Options, Report, examine, rules};
use hilum::key::Key;
use hilum::text::source::Source;

use crate::generate::Dice;

/// Where a finding is expected.
#[derive(Clone, Copy, Debug)]
pub(super) enum Place {
    Lead(usize, usize),
    Title,
    /// The line that begins with this.
    Line(&'static str),
}

#[derive(Clone, Debug)]
pub(super) enum Goes {
    Couplet(usize),
    Taxon(String),
}

#[derive(Clone, Debug)]
pub(super) struct Lead {
    pub parts: Vec<String>,
    pub between: &'static str,
    pub goes: Goes,
}

#[derive(Clone, Debug)]
pub(super) struct Couplet {
    pub leads: Vec<Lead>,
    pub origins: Vec<usize>,
    pub back: bool,
    /// The topics of the first two parts.
    pub topics: (usize, usize),
    /// The lengths of the blade that its leads ask for, in mm, where they do.
    pub measured: Option<[Range; 2]>,
}

/// From one whole number of mm to another.
type Range = (usize, usize);

/// A key as a generator holds it.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    pub title: String,
    pub heading: Vec<String>,
    pub characters: String,
    pub couplets: Vec<Couplet>,
    pub accounts: Vec<String>,
    pub accepted: Vec<String>,
}

/// Parts of plants and the states that part them; none is a size, a colour, a term, or lost in the
/// press.
pub(super) const TOPICS: [(&str, &str, &str); 14] = [
    ("Leaves", "lobed", "entire"),
    ("Stem", "round", "square"),
    ("Bark", "rough", "smooth"),
    ("Buds", "pointed", "blunt"),
    ("Roots", "branched", "unbranched"),
    ("Twigs", "hollow", "solid"),
    ("Veins", "forked", "parallel"),
    ("Tendrils", "coiled", "split"),
    ("Thorns", "hooked", "straight"),
    ("Nodes", "swollen", "even"),
    ("Needles", "flat", "four-edged"),
    ("Shoots", "ribbed", "furrowed"),
    ("Branches", "hanging", "upright"),
    ("Trunk", "fluted", "cylindrical"),
];

pub(super) const NAMES: [&str; 28] = [
    "Acer campestre",
    "Alnus glutinosa",
    "Betula pendula",
    "Carpinus betulus",
    "Corylus avellana",
    "Fagus sylvatica",
    "Fraxinus excelsior",
    "Ilex aquifolium",
    "Juglans regia",
    "Malus domestica",
    "Populus tremula",
    "Prunus avium",
    "Quercus robur",
    "Rhamnus cathartica",
    "Robinia pseudoacacia",
    "Salix caprea",
    "Sambucus nigra",
    "Sorbus aucuparia",
    "Tilia cordata",
    "Ulmus glabra",
    "Viburnum opulus",
    "Crataegus monogyna",
    "Ligustrum vulgare",
    "Lonicera periclymenum",
    "Euonymus europaeus",
    "Cornus sanguinea",
    "Hedera helix",
    "Clematis vitalba",
];

impl Sheet {
    /// A sound key to some of the names; a comb where it is to be lopsided.
    pub fn sound(dice: &mut Dice, comb: bool) -> Sheet {
        let mut names: Vec<&str> = NAMES.to_vec();
        for i in (1..names.len()).rev() {
            names.swap(i, dice.below(i + 1));
        }
        names.truncate(20 + dice.below(8));
        let mut sheet = Sheet {
            title: "Key to the woody plants of the Oren valley".into(),
            heading: vec![
                "place      the Oren valley (invented)".into(),
                "season     all the year".into(),
            ],
            characters: "blade length: Leaf blade _ long\n  measure   mm\n  pressed   0.9 to 1\n"
                .into(),
            couplets: Vec::new(),
            accounts: names.iter().map(|n| n.to_string()).collect(),
            accepted: names.iter().map(|n| n.to_string()).collect(),
        };
        // What is still to be parted: its names, the lead that should point at it, and the lengths
        // that are left there.
        let mut open: Vec<(Vec<&str>, Option<(usize, usize)>, Range)> =
            vec![(names, None, (1, 400))];
        while let Some((names, from, length)) = open.pop() {
            let own = sheet.couplets.len();
            if let Some((couplet, lead)) = from {
                sheet.couplets[couplet].leads[lead].goes = Goes::Couplet(own);
            }
            let above = from.map(|(c, _)| sheet.couplets[c].topics.0);
            let first = loop {
                let topic = dice.below(TOPICS.len());
                if Some(topic) != above {
                    break topic;
                }
            };
            let second = (first + 1 + dice.below(TOPICS.len() - 1)) % TOPICS.len();
            let (low, high) = length;
            let middle = (low + high) / 2;
            let measured = ((dice.once_in(3) || own < 3) && high - low > 6)
                .then_some([(low, middle - 1), (middle + 1, high)]);
            let least = if comb { 1 } else { names.len().div_ceil(3).min(names.len() / 2) };
            let most = if comb { 1 } else { names.len() / 2 };
            let cut = (least + dice.below(most - least + 1)).max(1);
            let mut leads = Vec::new();
            for i in 0..2 {
                let state = |t: usize| if i == 0 { TOPICS[t].1 } else { TOPICS[t].2 };
                let mut parts = vec![
                    format!("{} {}", TOPICS[first].0, state(first)),
                    format!("{} {}", TOPICS[second].0.to_lowercase(), state(second)),
                ];
                if let Some((low, high)) = measured.map(|m| m[i]) {
                    parts.push(format!("leaf blade {low}-{high} mm long"));
                }
                leads.push(Lead { parts, between: "; ", goes: Goes::Taxon(String::new()) });
            }
            let (few, many) = names.split_at(cut);
            for (i, group) in [many, few].into_iter().enumerate() {
                let lead = 1 - i;
                match group {
                    [one] => leads[lead].goes = Goes::Taxon(one.to_string()),
                    more => {
                        let length = measured.map_or(length, |m| m[lead]);
                        open.push((more.to_vec(), Some((own, lead)), length));
                    }
                }
            }
            let origins = from.map(|(c, _)| c).into_iter().collect();
            let topics = (first, second);
            sheet.couplets.push(Couplet { leads, origins, back: own > 0, topics, measured });
        }
        sheet
    }

    pub fn text(&self) -> String {
        let mut out = format!("{}\n", self.title);
        for line in &self.heading {
            let _ = writeln!(out, "  {line}");
        }
        let _ = write!(out, "\ncharacters\n\n{}\nkey\n\n", self.characters);
        for (i, couplet) in self.couplets.iter().enumerate() {
            for (j, lead) in couplet.leads.iter().enumerate() {
                let letter = (b'a' + j as u8) as char;
                let origins: Vec<String> =
                    couplet.origins.iter().map(|o| (o + 1).to_string()).collect();
                let back = match couplet.back && j == 0 {
                    true => format!(" ({})", origins.join(", ")),
                    false => String::new(),
                };
                let mut said = lead.parts.join(lead.between);
                if lead.between == ". " {
                    said = said
                        .split(". ")
                        .map(|p| p[..1].to_uppercase() + &p[1..])
                        .collect::<Vec<_>>()
                        .join(". ");
                }
                let goes = match &lead.goes {
                    Goes::Couplet(c) => (c + 1).to_string(),
                    Goes::Taxon(name) => name.clone(),
                };
                let _ = writeln!(out, "{}{letter}{back}  {said} ..... {goes}", i + 1);
            }
        }
        out.push_str("\ntaxa\n");
        for name in &self.accounts {
            let _ = write!(out, "\n{name} L.\n  Grows in hedges.\n");
        }
        out.push_str(
            "\nglossary\n\nmargin: the line where a blade ends\n\n\
             stipules: two leaf-like pieces at the foot of a leaf\n",
        );
        out
    }

    pub fn line(&self, text: &str, place: Place) -> usize {
        let at = |begin: &str| text.lines().position(|l| l.starts_with(begin)).map(|i| i + 1);
        match place {
            Place::Title => 1,
            Place::Line(begin) => at(begin).unwrap_or_else(|| panic!("no line {begin}")),
            Place::Lead(c, l) => {
                let letter = (b'a' + l as u8) as char;
                let label = format!("{}{letter} ", c + 1);
                at(&label).unwrap_or_else(|| panic!("no lead {label}"))
            }
        }
    }

    pub fn report(&self, text: &str) -> (Key, Report) {
        let key = Key::read(Source::new("seeded.key", text));
        let accepted = Accepted::read(&self.accepted.join("\n"));
        // Everything that can be asked for, but the list of couplets without a second way.
        let profiles: Vec<String> = rules::ALL
            .iter()
            .filter(|r| !r.asked_by.is_empty() && r.id != "no-second-way")
            .map(|r| r.id.to_string())
            .collect();
        let options =
            Options { profiles: &profiles, accepted: Some(&accepted), ..Options::default() };
        let report = examine(&key, &options);
        (key, report)
    }

    /// A couplet both of whose leads end in a taxon.
    pub fn last(&self, dice: &mut Dice) -> usize {
        let ends = |c: &Couplet| c.leads.iter().all(|l| matches!(l.goes, Goes::Taxon(_)));
        let all: Vec<usize> =
            (0..self.couplets.len()).filter(|&c| ends(&self.couplets[c])).collect();
        all[dice.below(all.len())]
    }

    pub fn any(&self, dice: &mut Dice) -> usize {
        dice.below(self.couplets.len())
    }

    /// A couplet whose leads ask for the length of the blade, and what the second asks for.
    pub fn measured(&self, dice: &mut Dice) -> (usize, Range) {
        let all: Vec<(usize, Range)> = self
            .couplets
            .iter()
            .enumerate()
            .filter_map(|(c, x)| Some((c, x.measured?[1])))
            .collect();
        all[dice.below(all.len())]
    }

    /// Replaces all that a couplet says.
    pub fn say(&mut self, couplet: usize, a: &[&str], b: &[&str]) {
        for (lead, parts) in self.couplets[couplet].leads.iter_mut().zip([a, b]) {
            lead.parts = parts.iter().map(|p| p.to_string()).collect();
        }
    }

    /// A lead that ends in a taxon, and its name.
    pub fn end(&self, dice: &mut Dice) -> (usize, usize, String) {
        let ends: Vec<(usize, usize, String)> = self
            .couplets
            .iter()
            .enumerate()
            .flat_map(|(c, couplet)| {
                couplet.leads.iter().enumerate().filter_map(move |(l, lead)| match &lead.goes {
                    Goes::Taxon(name) => Some((c, l, name.clone())),
                    Goes::Couplet(_) => None,
                })
            })
            .collect();
        ends[dice.below(ends.len())].clone()
    }
}
