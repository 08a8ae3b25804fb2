//! The list of rules: a line to name the file, a line to put it into the list.

mod account_against_itself;
mod account_against_route;
mod account_leaves_out;
mod account_never_tested;
mod ambiguous_statement;
mod and_with_or;
pub(in crate::check) mod answer_without_question;
mod answer_without_reason;
mod applies_unread;
mod back_reference_disagrees;
mod back_reference_missing;
mod bare_negation;
mod bracket_not_closed;
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
mod difference_in_parentheses;
pub(in crate::check) mod drying_not_said;
mod feature_without_contrast;
mod features_in_another_order;
mod figure_not_sure;
mod file_not_read;
mod file_without_key;
mod first_words_differ;
mod fits_no_lead;
mod flower_and_fruit;
mod fresh_plant_needed;
mod geography_alone;
mod geography_not_last;
mod hedged_leads;
mod hedged_sole_character;
mod key_not_reached;
mod key_twice;
mod key_without_couplets;
mod label_letter_missing;
mod label_misread;
mod label_out_of_sequence;
mod label_twice;
mod labels_missing;
mod lead_opens_without_part;
mod lead_outside_key;
mod lead_without_outcome;
mod lead_without_statement;
mod leader_missing;
mod leader_single_dot;
mod listed_taxon_not_keyed;
mod long_lead;
mod longer_branch_first;
mod lopsided_key;
mod low_above_high;
mod measure_gap;
mod measure_outside_route;
mod missing_taxon_above;
mod mixed_indentation;
mod mixed_punctuation;
mod months_unreadable;
mod name_unreadable;
mod near_name;
mod near_word;
mod negative_first;
mod no_second_way;
mod no_such_state;
mod not_as_above;
mod not_utf_8;
mod obscure_character;
mod outcome_phrase;
mod outcome_unreadable;
mod overlapping_leads;
mod place_out_of_reach;
mod plastic_character;
mod pointer_without_couplet;
mod property_twice;
mod relative_size;
mod same_leads;
mod same_opening_as_above;
mod scope_not_said;
mod season_not_said;
mod shared_couplet;
mod size_unlike_others;
mod sole_character;
mod state_twice;
mod stray_line;
mod taxa_not_told_apart;
mod taxon_account_twice;
mod taxon_not_keyed;
mod taxon_not_listed;
mod taxon_twice;
mod taxon_without_account;
mod term_not_defined;
mod three_leads;
mod title_missing;
mod translation_states;
mod two_leads_on_one_line;
mod two_states_at_once;
mod two_words_for_one_thing;
mod unit_missing;
mod units_differ;
mod unknown_language;
mod unknown_profile;
mod unknown_property;
pub(in crate::check) mod unknown_rule;
mod unknown_state;
mod unreadable_value;
mod verb_in_lead;
mod wrong_name;

use super::Rule;

/// Every rule, in the order of their names. A name that is printed stands here.
pub static ALL: &[&Rule] = &[
    &account_against_itself::RULE,
    &account_against_route::RULE,
    &account_leaves_out::RULE,
    &account_never_tested::RULE,
    &ambiguous_statement::RULE,
    &and_with_or::RULE,
    &answer_without_question::RULE,
    &answer_without_reason::RULE,
    &applies_unread::RULE,
    &back_reference_disagrees::RULE,
    &back_reference_missing::RULE,
    &bare_negation::RULE,
    &bracket_not_closed::RULE,
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
    &difference_in_parentheses::RULE,
    &drying_not_said::RULE,
    &feature_without_contrast::RULE,
    &features_in_another_order::RULE,
    &figure_not_sure::RULE,
    &file_not_read::RULE,
    &file_without_key::RULE,
    &first_words_differ::RULE,
    &fits_no_lead::RULE,
    &flower_and_fruit::RULE,
    &fresh_plant_needed::RULE,
    &geography_alone::RULE,
    &geography_not_last::RULE,
    &hedged_leads::RULE,
    &hedged_sole_character::RULE,
    &key_not_reached::RULE,
    &key_twice::RULE,
    &key_without_couplets::RULE,
    &label_letter_missing::RULE,
    &label_misread::RULE,
    &label_out_of_sequence::RULE,
    &label_twice::RULE,
    &labels_missing::RULE,
    &lead_opens_without_part::RULE,
    &lead_outside_key::RULE,
    &lead_without_outcome::RULE,
    &lead_without_statement::RULE,
    &leader_missing::RULE,
    &leader_single_dot::RULE,
    &listed_taxon_not_keyed::RULE,
    &long_lead::RULE,
    &longer_branch_first::RULE,
    &lopsided_key::RULE,
    &low_above_high::RULE,
    &measure_gap::RULE,
    &measure_outside_route::RULE,
    &missing_taxon_above::RULE,
    &mixed_indentation::RULE,
    &mixed_punctuation::RULE,
    &months_unreadable::RULE,
    &name_unreadable::RULE,
    &near_name::RULE,
    &near_word::RULE,
    &negative_first::RULE,
    &no_second_way::RULE,
    &no_such_state::RULE,
    &not_as_above::RULE,
    &not_utf_8::RULE,
    &obscure_character::RULE,
    &outcome_phrase::RULE,
    &outcome_unreadable::RULE,
    &overlapping_leads::RULE,
    &place_out_of_reach::RULE,
    &plastic_character::RULE,
    &pointer_without_couplet::RULE,
    &property_twice::RULE,
    &relative_size::RULE,
    &same_leads::RULE,
    &same_opening_as_above::RULE,
    &scope_not_said::RULE,
    &season_not_said::RULE,
    &shared_couplet::RULE,
    &size_unlike_others::RULE,
    &sole_character::RULE,
    &state_twice::RULE,
    &stray_line::RULE,
    &taxa_not_told_apart::RULE,
    &taxon_account_twice::RULE,
    &taxon_not_keyed::RULE,
    &taxon_not_listed::RULE,
    &taxon_twice::RULE,
    &taxon_without_account::RULE,
    &term_not_defined::RULE,
    &three_leads::RULE,
    &title_missing::RULE,
    &translation_states::RULE,
    &two_leads_on_one_line::RULE,
    &two_states_at_once::RULE,
    &two_words_for_one_thing::RULE,
    &unit_missing::RULE,
    &units_differ::RULE,
    &unknown_language::RULE,
    &unknown_profile::RULE,
    &unknown_property::RULE,
    &unknown_rule::RULE,
    &unknown_state::RULE,
    &unreadable_value::RULE,
    &verb_in_lead::RULE,
    &wrong_name::RULE,
];

/// The rule of a name.
pub fn find(id: &str) -> Option<&'static Rule> {
    ALL.binary_search_by(|r| r.id.cmp(id)).ok().map(|i| ALL[i])
}

/// The rule whose name is nearest to a misspelt one, if any is near.
pub fn nearest(name: &str) -> Option<&'static str> {
    if name.len() > 80 {
        return None;
    }
    let name = name.to_lowercase();
    let distance = |id: &str| strsim::osa_distance(id, &name);
    let near = ALL.iter().map(|r| (distance(r.id), r.id)).min()?;
    // A third of the letters may be wrong; or it is one word of a longer name.
    (near.0 * 3 <= near.1.len().max(name.len()))
        .then_some(near.1)
        .or_else(|| ALL.iter().map(|r| r.id).find(|id| name.len() > 4 && id.contains(&name)))
}
