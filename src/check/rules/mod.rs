//! The list of rules: a line to name the file, a line to put it into the list.

mod account_against_itself;
mod account_against_route;
mod account_leaves_out;
mod account_never_tested;
mod ambiguous_statement;
pub(in crate::check) mod answer_without_question;
mod answer_without_reason;
mod applies_unread;
mod back_reference_disagrees;
mod byte_order_mark;
mod carriage_returns;
mod character_not_applicable;
mod character_twice;
mod character_without_gap;
mod character_without_kind;
mod circular_route;
mod colliding_sentences;
mod condition_twice;
mod condition_unknown;
mod contradicted_statement;
mod control_character;
mod couplet_decides_nothing;
mod couplet_not_reached;
mod couplet_with_one_lead;
mod file_not_read;
mod file_without_key;
mod fits_no_lead;
mod key_not_reached;
mod key_twice;
mod key_without_couplets;
mod label_letter_missing;
mod label_misread;
mod label_out_of_sequence;
mod label_twice;
mod labels_missing;
mod lead_outside_key;
mod lead_without_outcome;
mod lead_without_statement;
mod leader_missing;
mod leader_single_dot;
mod low_above_high;
mod measure_outside_route;
mod missing_taxon_above;
mod mixed_indentation;
mod months_unreadable;
mod name_unreadable;
mod near_name;
mod near_word;
mod not_utf_8;
mod outcome_phrase;
mod outcome_unreadable;
mod overlapping_leads;
mod place_out_of_reach;
mod pointer_without_couplet;
mod property_twice;
mod same_leads;
mod state_twice;
mod stray_line;
mod taxa_not_told_apart;
mod taxon_account_twice;
mod taxon_not_keyed;
mod taxon_twice;
mod three_leads;
mod title_missing;
mod translation_states;
mod two_leads_on_one_line;
mod two_states_at_once;
mod unit_missing;
mod unknown_language;
mod unknown_property;
pub(in crate::check) mod unknown_rule;
mod unknown_state;
mod unreadable_value;
mod wrong_name;

use super::Rule;

/// Every rule, in the order of their names. A name that is printed stands here.
pub static ALL: &[&Rule] = &[
    &account_against_itself::RULE,
    &account_against_route::RULE,
    &account_leaves_out::RULE,
    &account_never_tested::RULE,
    &ambiguous_statement::RULE,
    &answer_without_question::RULE,
    &answer_without_reason::RULE,
    &applies_unread::RULE,
    &back_reference_disagrees::RULE,
    &byte_order_mark::RULE,
    &carriage_returns::RULE,
    &character_not_applicable::RULE,
    &character_twice::RULE,
    &character_without_gap::RULE,
    &character_without_kind::RULE,
    &circular_route::RULE,
    &colliding_sentences::RULE,
    &condition_twice::RULE,
    &condition_unknown::RULE,
    &contradicted_statement::RULE,
    &control_character::RULE,
    &couplet_decides_nothing::RULE,
    &couplet_not_reached::RULE,
    &couplet_with_one_lead::RULE,
    &file_not_read::RULE,
    &file_without_key::RULE,
    &fits_no_lead::RULE,
    &key_not_reached::RULE,
    &key_twice::RULE,
    &key_without_couplets::RULE,
    &label_letter_missing::RULE,
    &label_misread::RULE,
    &label_out_of_sequence::RULE,
    &label_twice::RULE,
    &labels_missing::RULE,
    &lead_outside_key::RULE,
    &lead_without_outcome::RULE,
    &lead_without_statement::RULE,
    &leader_missing::RULE,
    &leader_single_dot::RULE,
    &low_above_high::RULE,
    &measure_outside_route::RULE,
    &missing_taxon_above::RULE,
    &mixed_indentation::RULE,
    &months_unreadable::RULE,
    &name_unreadable::RULE,
    &near_name::RULE,
    &near_word::RULE,
    &not_utf_8::RULE,
    &outcome_phrase::RULE,
    &outcome_unreadable::RULE,
    &overlapping_leads::RULE,
    &place_out_of_reach::RULE,
    &pointer_without_couplet::RULE,
    &property_twice::RULE,
    &same_leads::RULE,
    &state_twice::RULE,
    &stray_line::RULE,
    &taxa_not_told_apart::RULE,
    &taxon_account_twice::RULE,
    &taxon_not_keyed::RULE,
    &taxon_twice::RULE,
    &three_leads::RULE,
    &title_missing::RULE,
    &translation_states::RULE,
    &two_leads_on_one_line::RULE,
    &two_states_at_once::RULE,
    &unit_missing::RULE,
    &unknown_language::RULE,
    &unknown_property::RULE,
    &unknown_rule::RULE,
    &unknown_state::RULE,
    &unreadable_value::RULE,
    &wrong_name::RULE,
];

/// The rule of a name.
pub fn find(id: &str) -> Option<&'static Rule> {
    ALL.binary_search_by(|r| r.id.cmp(id)).ok().map(|i| ALL[i])
}

/// The rule whose name is nearest to a misspelt one, if any is near.
pub fn nearest(name: &str) -> Option<&'static str> {
    let name = name.to_lowercase();
    let distance = |id: &str| strsim::osa_distance(id, &name);
    let near = ALL.iter().map(|r| (distance(r.id), r.id)).min()?;
    // A third of the letters may be wrong; or it is one word of a longer name.
    (near.0 * 3 <= near.1.len().max(name.len()))
        .then_some(near.1)
        .or_else(|| ALL.iter().map(|r| r.id).find(|id| name.len() > 4 && id.contains(&name)))
}
