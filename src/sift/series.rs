//! Many specimens against one key: what an answer says of every taxon is worked out once.

use std::sync::{Arc, PoisonError, RwLock};

use foldhash::HashMap;

use super::agree::Agreement;
use super::bits::Bits;
use super::evidence::{Evidence, evidence};
use super::observation::Observation;
use super::once::counted;
use super::prior::Prior;
use super::query::Query;
use super::rank::{Assumptions, Before, Ranking};
use super::reading::read_observation;
use super::report::LIKELY;
use super::specimen::Specimen;
use super::table::Table;
use super::unread::Unread;
use super::verdict::{SHORT, Verdict, verdict};
use crate::key::lexicon::Lexicon;
use crate::key::{ConditionId, Key};

/// So many bytes of what answers say are kept; from then on new answers are worked out each time.
const MOST_KEPT: usize = 64 << 20;

/// A key made ready to name many specimens. What it says of one does not depend on those before.
#[derive(Debug)]
pub struct Series<'k> {
    key: &'k Key,
    table: Table,
    lexicon: Lexicon,
    assumptions: Assumptions,
    /// How many misfits a name may have.
    tolerance: usize,
    /// How many rows each ranking keeps.
    most: usize,
    before: Before,
    kept: RwLock<Kept>,
}

/// What was worked out for other specimens.
#[derive(Debug, Default)]
struct Kept {
    /// By condition, then by the answer as it was written.
    answers: Vec<HashMap<Box<str>, Arc<Answer>>>,
    /// By month and place.
    before: HashMap<(Option<u8>, Vec<String>), Arc<Before>>,
    bytes: usize,
}

/// An answer as it was written, read and held against every account.
#[derive(Debug)]
struct Answer {
    observations: Vec<Observation>,
    /// Of each observation, unless no account can agree or disagree with it: the rows that it fits,
    /// and how probable it is for each.
    said: Vec<Option<(Bits, Option<Evidence>)>>,
}

/// What came of one specimen.
#[derive(Clone, Debug)]
pub struct Found {
    pub observations: Vec<Observation>,
    pub agreement: Agreement,
    /// The first rows, as many as were asked for and enough for the verdict.
    pub ranking: Ranking,
    pub verdict: Verdict,
}

impl<'k> Series<'k> {
    /// `names`: how many names are wanted of each specimen.
    pub fn new(
        key: &'k Key,
        assumptions: Assumptions,
        tolerance: usize,
        names: usize,
    ) -> Series<'k> {
        let table = Table::of(key);
        let prior = Prior::of(key, &table, &Specimen::default());
        let before = Before::of(table.rows(), &prior, &assumptions);
        // A verdict looks at one name more than a short list has; so many names can be likely.
        let likely = (1.0 / LIKELY) as usize;
        let most = names.max(SHORT + 1).max(likely);
        let kept = RwLock::default();
        let lexicon = key.lexicon();
        Series { key, table, lexicon, assumptions, tolerance, most, before, kept }
    }

    pub fn key(&self) -> &'k Key {
        self.key
    }

    pub fn table(&self) -> &Table {
        &self.table
    }

    /// Names one specimen from its answers, as they were written; `month` is the one in which it
    /// flowered.
    ///
    /// # Errors
    /// The first answer that cannot be read, by its place, and why.
    pub fn name(
        &self,
        answers: &[String],
        condition: ConditionId,
        month: Option<u8>,
        place: &[String],
    ) -> Result<Found, (usize, Unread)> {
        let read = |(i, text): (usize, &String)| self.answer(text, condition).map_err(|e| (i, e));
        let answers: Vec<Arc<Answer>> =
            answers.iter().enumerate().map(read).collect::<Result<_, _>>()?;
        let mut observations: Vec<Observation> =
            answers.iter().flat_map(|a| &a.observations).cloned().collect();
        // What was said twice counts once.
        let counted = counted(&observations);
        let all = || answers.iter().flat_map(|a| &a.said).zip(&counted);
        let said = || all().filter(|(_, other)| other.is_none()).filter_map(|(s, _)| s.as_ref());
        let mut kept = counted.iter().map(Option::is_none);
        observations.retain(|_| kept.next().unwrap_or(true));
        let tolerance = self.tolerance.min(observations.len());
        let mut agreement = Agreement::before_any(self.table.rows(), tolerance);
        said().for_each(|(fits, _)| agreement.narrow(|block| fits.block(block)));
        let mut evidence: Vec<&Evidence> = said().filter_map(|(_, e)| e.as_ref()).collect();
        let ranking = if month.is_none() && place.is_empty() {
            self.before.rank(&mut evidence, self.most)
        } else {
            self.before(month, place).rank(&mut evidence, self.most)
        };
        let verdict = verdict(&self.table, &observations, &agreement, &ranking);
        Ok(Found { observations, agreement, ranking, verdict })
    }

    fn answer(&self, text: &str, condition: ConditionId) -> Result<Arc<Answer>, Unread> {
        let at = usize::from(condition.0);
        {
            let kept = self.kept.read().unwrap_or_else(PoisonError::into_inner);
            if let Some(known) = kept.answers.get(at).and_then(|by_text| by_text.get(text)) {
                return Ok(known.clone());
            }
        }
        let observations = read_observation(self.key, &self.lexicon, text, condition)?;
        let said = observations.iter().map(|o| self.said(o)).collect();
        let answer = Arc::new(Answer { observations, said });
        let bytes = text.len() * 4 + answer.said.len() * self.bytes();
        self.keep(bytes, |kept| {
            if kept.answers.len() <= at {
                kept.answers.resize_with(at + 1, HashMap::default);
            }
            kept.answers[at].insert(text.into(), answer.clone()).is_none()
        });
        Ok(answer)
    }

    fn said(&self, observation: &Observation) -> Option<(Bits, Option<Evidence>)> {
        if matches!(Query::of(&self.table, observation), Query::Silent(_)) {
            return None;
        }
        let fits = self.table.fits(observation);
        Some((fits, evidence(&self.table, observation, self.assumptions.misreading)))
    }

    fn before(&self, month: Option<u8>, place: &[String]) -> Arc<Before> {
        let named = (month, place.to_vec());
        {
            let kept = self.kept.read().unwrap_or_else(PoisonError::into_inner);
            if let Some(known) = kept.before.get(&named) {
                return known.clone();
            }
        }
        let specimen = Specimen {
            month,
            in_flower: month.is_some(),
            place: place.to_vec(),
            ..Specimen::default()
        };
        let prior = Prior::of(self.key, &self.table, &specimen);
        let before = Arc::new(Before::of(self.table.rows(), &prior, &self.assumptions));
        let bytes = self.bytes() + place.iter().map(|p| 32 + p.len()).sum::<usize>();
        self.keep(bytes, |kept| kept.before.insert(named, before.clone()).is_none());
        before
    }

    /// About how many bytes one number and one bit for each taxon take.
    fn bytes(&self) -> usize {
        512 + self.table.rows() * 9
    }

    /// Keeps something of `bytes` where there is room; `put` says whether it is new.
    fn keep(&self, bytes: usize, put: impl FnOnce(&mut Kept) -> bool) {
        let mut kept = self.kept.write().unwrap_or_else(PoisonError::into_inner);
        if kept.bytes + bytes <= MOST_KEPT && put(&mut kept) {
            kept.bytes += bytes;
        }
    }
}
