//! Everything the engine has to say of a specimen, as one object with a stable shape.
//!
//! This is what `--json` prints. Fields are only ever added; names are those of the key; lists are
//! in the order in which a person would read them. Probabilities are between 0 and 1, information
//! is in bits.

use serde::Serialize;

use super::agree::{Agreement, agree, chance_kept};
use super::explain::{Explanation, explain};
use super::missing::{Want, missing};
use super::next::next_questions;
use super::observation::{Doubt, Observation};
use super::once::counted;
use super::prior::{Prior, Used};
use super::query::{Query, Silent};
use super::rank::{Assumptions, Ranking, rank};
use super::specimen::Specimen;
use super::table::Table;
use super::verdict::{NOT_IN_KEY, SETTLED, Verdict, verdict};
use super::words;
use crate::key::{CharacterId, Key, TaxonId};

/// What is asked of the engine, beside the observations.
#[derive(Clone, Debug)]
pub struct Options {
    /// How many misfits a name may have.
    pub tolerance: usize,
    pub assumptions: Assumptions,
    /// How many names, questions and explanations are listed.
    pub most: usize,
}

impl Default for Options {
    fn default() -> Options {
        Options { tolerance: 1, assumptions: Assumptions::default(), most: 12 }
    }
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    pub key: KeyNamed,
    pub observations: Vec<Observed>,
    pub verdict: VerdictSaid,
    pub agreement: Agreed,
    pub ranking: Ranked,
    /// What speaks for and against the first names of the ranking.
    pub explanations: Vec<Explanation>,
    pub next: Vec<Asked>,
    pub missing: Lacked,
    /// What to beware of with the names that are likely, agree or stand in the verdict, each once;
    /// then what the key as a whole says.
    pub cautions: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeyNamed {
    pub title: String,
    pub issue: Option<String>,
    /// How many taxa it can name.
    pub taxa: usize,
    pub described: String,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Observed {
    pub text: String,
    pub character: String,
    pub value: String,
    pub condition: String,
    pub doubt: Doubt,
    /// Why it could not be compared with any account; `null` where it was.
    pub silent: Option<Silent>,
    /// The place in this list of the observation that tells of the same sight and counts in its
    /// place; `null` where it counts itself.
    pub counts_as: Option<usize>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VerdictSaid {
    #[serde(flatten)]
    pub verdict: Verdict,
    /// The names it speaks of, the most probable first.
    pub taxa: Vec<String>,
    /// The whole verdict as a sentence with its limits.
    pub words: String,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Agreed {
    pub tolerance: usize,
    /// Observations that could agree or disagree.
    pub counted: usize,
    /// The chance that the true name is still within the tolerance, at the misreading rate.
    pub chance_kept: f64,
    pub by_misfits: Vec<Level>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Level {
    pub misfits: usize,
    pub count: usize,
    /// The first of them in the order of the key.
    pub taxa: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ranked {
    pub names: Vec<Name>,
    /// The probability that the plant is none of the key's taxa.
    pub none_of_these: f64,
    /// What all names that are not listed have together.
    pub others: f64,
    pub assumptions: Assumptions,
    pub prior: Used,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Name {
    pub taxon: String,
    pub probability: f64,
    /// `null` beyond the tolerance.
    pub misfits: Option<usize>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Asked {
    pub character: String,
    pub question: String,
    pub part: Option<String>,
    pub tool: &'static str,
    pub information: f64,
    pub cost: f64,
    pub answers: Vec<Answered>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answered {
    pub answer: String,
    /// How many of the remaining taxa it leaves.
    pub left: usize,
    pub share: f64,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lacked {
    /// Whether what can be seen on the specimen can part all remaining taxa; `null` where too many
    /// are left to compare every pair.
    pub settles: Option<bool>,
    pub together: Vec<Vec<String>>,
    pub wanted: Vec<WantedSaid>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WantedSaid {
    #[serde(flatten)]
    pub what: Want,
    pub pairs: usize,
    pub best: String,
    pub information: f64,
    pub characters: Vec<String>,
}

/// A name from this probability on is told with its cautions, even where it does not agree.
pub const LIKELY: f64 = 0.05;

/// Works everything out. What was said twice counts once.
pub fn report(
    key: &Key,
    table: &Table,
    said_all: &[Observation],
    specimen: &Specimen,
    options: &Options,
) -> Report {
    let replaced = counted(said_all);
    let kept: Vec<usize> = (0..said_all.len()).filter(|i| replaced[*i].is_none()).collect();
    let observations: &[Observation] =
        &kept.iter().map(|i| said_all[*i].clone()).collect::<Vec<_>>();
    // What is told of them speaks of their places among all that was said.
    let placed = |mut e: Explanation| {
        let lists = [&mut e.in_favour, &mut e.against, &mut e.unknown, &mut e.not_compared];
        lists.into_iter().flatten().for_each(|j| j.observation = kept[j.observation]);
        e
    };
    let agreement = agree(table, observations, options.tolerance);
    let prior = Prior::of(key, table, specimen);
    let ranking = rank(table, observations, &prior, &options.assumptions);
    let verdict = verdict(table, observations, &agreement, &ranking);
    let name = |row: usize| key.taxon(table.taxon(row)).name.clone();
    // What is still open: whatever agrees, else whatever is tolerated.
    let left = [agreement.agreeing(), agreement.tolerated()]
        .into_iter()
        .find(|b| !b.is_empty())
        .unwrap_or(agreement.agreeing());
    let mut probability = vec![0.0; table.rows()];
    ranking.order.iter().for_each(|(row, p)| probability[*row] = *p);
    let weight = |row: usize| probability[row];
    let listed = &ranking.order[..ranking.order.len().min(options.most)];
    let named = |c: CharacterId| key.character(c).name.clone();
    let lacking = missing(table, left, weight, observations, specimen);
    let questions = next_questions(table, left, weight, observations, specimen);
    Report {
        key: KeyNamed {
            title: key.heading.title.clone(),
            issue: key.heading.issue.clone(),
            taxa: table.rows(),
            described: key.condition(table.described).name.clone(),
        },
        observations: said_all
            .iter()
            .zip(&replaced)
            .map(|(o, by)| observed(key, table, o, *by))
            .collect(),
        agreement: Agreed {
            tolerance: agreement.tolerance(),
            counted: agreement.counted,
            chance_kept: chance_kept(
                agreement.counted,
                options.assumptions.misreading,
                agreement.tolerance(),
            ),
            by_misfits: (0..=agreement.tolerance())
                .map(|misfits| {
                    let mut rows = agreement.at_most[misfits].clone();
                    if let Some(fewer) = misfits.checked_sub(1) {
                        rows.without(&agreement.at_most[fewer]);
                    }
                    Level {
                        misfits,
                        count: rows.count(),
                        taxa: rows.iter().take(options.most).map(name).collect(),
                    }
                })
                .collect(),
        },
        ranking: Ranked {
            names: listed
                .iter()
                .map(|(row, p)| Name {
                    taxon: name(*row),
                    probability: *p,
                    misfits: agreement.misfits(*row),
                })
                .collect(),
            none_of_these: ranking.none,
            others: ranking.order[listed.len()..].iter().map(|(_, p)| p).sum(),
            assumptions: ranking.assumptions.clone(),
            prior: ranking.prior,
        },
        explanations: listed
            .iter()
            .take(3)
            .map(|(row, _)| placed(explain(key, table, observations, *row)))
            .collect(),
        next: questions
            .iter()
            .take(options.most)
            .map(|q| {
                let c = key.character(q.character);
                Asked {
                    character: c.name.clone(),
                    question: c.asked(key.heading.language),
                    part: c.part.clone(),
                    tool: c.tool.word(),
                    information: q.information,
                    cost: q.cost,
                    answers: q
                        .answers
                        .iter()
                        .map(|a| Answered {
                            answer: words::answer(c, a.value, key.heading.language),
                            left: a.left,
                            share: a.share,
                        })
                        .collect(),
                }
            })
            .collect(),
        missing: Lacked {
            settles: lacking.settles,
            together: lacking
                .together
                .iter()
                .map(|g| g.iter().map(|r| name(*r)).collect())
                .collect(),
            wanted: lacking
                .wanted
                .into_iter()
                .map(|w| WantedSaid {
                    what: w.what,
                    pairs: w.pairs,
                    best: named(w.best),
                    information: w.information,
                    characters: w.characters.into_iter().map(named).collect(),
                })
                .collect(),
        },
        cautions: key.cautions_for(&told(table, &agreement, &ranking, &verdict, options.most)),
        verdict: {
            let mut told = said(key, table, observations, verdict);
            if let Verdict::Contradictory { look_again: Some(at), .. } = &mut told.verdict {
                *at = kept[*at];
            }
            told
        },
    }
}

/// The names that a person is told with their cautions, the most probable first: of the first
/// `most` of the ranking those that agree with everything, all that are [`LIKELY`], and those of
/// the verdict.
fn told(
    table: &Table,
    agreement: &Agreement,
    ranking: &Ranking,
    verdict: &Verdict,
    most: usize,
) -> Vec<TaxonId> {
    let named = verdict.rows();
    let told = |(at, (row, p)): (usize, &(usize, f64))| {
        let listed = at < most && agreement.agreeing().contains(*row);
        (listed || *p >= LIKELY || named.contains(row)).then(|| table.taxon(*row))
    };
    ranking.order.iter().enumerate().filter_map(told).collect()
}

fn observed(key: &Key, table: &Table, o: &Observation, counts_as: Option<usize>) -> Observed {
    let character = key.character(o.character);
    Observed {
        text: words::observation(key, o, key.heading.language),
        character: character.name.clone(),
        value: words::seen(character, &o.seen, key.heading.language),
        condition: key.condition(o.condition).name.clone(),
        doubt: o.doubt,
        silent: match Query::of(table, o) {
            Query::Silent(why) => Some(why),
            _ => None,
        },
        counts_as,
    }
}

/// A verdict in words.
pub fn said(
    key: &Key,
    table: &Table,
    observations: &[Observation],
    verdict: Verdict,
) -> VerdictSaid {
    let name = |row: &usize| key.taxon(table.taxon(*row)).name.clone();
    let (taxa, words): (Vec<String>, String) = match &verdict {
        Verdict::Settled { row, probability, .. } => (
            vec![name(row)],
            format!(
                "settled: {}, with a probability of {} ({} settles a name), and its account contradicts nothing that was seen",
                name(row),
                percent(*probability),
                limit(SETTLED[0])
            ),
        ),
        Verdict::ShortList { rows } => {
            let names: Vec<String> = rows.iter().map(name).collect();
            let one_of = match names.as_slice() {
                [head @ .., last] if !head.is_empty() && names.len() <= FEW => {
                    format!("{} or {last}", head.join(", "))
                }
                [one] => one.clone(),
                names => format!("one of {} names", names.len()),
            };
            let sure = limit(SETTLED[0]);
            let words = format!(
                "short list: if the plant is in this key, it is {one_of} ({sure} sure, misreadings reckoned with)"
            );
            (names, words)
        }
        Verdict::Contradictory { best, look_again } => {
            let again = look_again.and_then(|i| observations.get(i)).map(|o| {
                format!(
                    "; look again at `{}`: it alone excludes {}",
                    words::observation(key, o, key.heading.language),
                    best.as_ref().map(name).unwrap_or_default()
                )
            });
            (
                best.iter().map(name).collect(),
                format!(
                    "contradictory: no account agrees with everything that was seen{}",
                    again.unwrap_or_default()
                ),
            )
        }
        Verdict::NotInThisKey { none } => (
            Vec::new(),
            format!(
                "not in this key: with a probability of {} the plant is none of its taxa ({} or more says so)",
                percent(*none),
                limit(NOT_IN_KEY)
            ),
        ),
        Verdict::Open { left } => (
            Vec::new(),
            match left {
                1 => "open: 1 taxon agrees with what was seen, but others are too likely to leave out"
                    .to_string(),
                _ => format!("open: {left} taxa agree with what was seen"),
            },
        ),
    };
    VerdictSaid { verdict, taxa, words }
}

/// More names than this are counted, not listed, in a sentence.
const FEW: usize = 3;

/// A limit as it was set: `95 %`.
fn limit(p: f64) -> String {
    format!("{:.0} %", p * 100.0)
}

/// `97.3 %`; never 0 or 100, which no probability is.
pub fn percent(p: f64) -> String {
    if p > 0.9999 {
        "more than 99.99 %".to_string()
    } else if p < 0.0001 {
        "less than 0.01 %".to_string()
    } else if !(0.001..=0.999).contains(&p) {
        format!("{:.2} %", p * 100.0)
    } else {
        format!("{:.1} %", p * 100.0)
    }
}
