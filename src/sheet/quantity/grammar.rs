//! The grammar of quantities, and what its rules are called in messages.

use pest::Parser as _;
use pest::iterators::Pairs;

mod derived {
    /// Parser of `grammar/quantity.pest`.
    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/quantity.pest"]
    pub(super) struct QuantityGrammar;
}

pub(super) use derived::Rule;

/// Most bytes that one clause may span; longer ones are cut.
pub(super) const CLAUSE: usize = 160;

/// Calls that pest may make for one clause before it gives up. A clause of [`CLAUSE`] bytes takes a few thousand.
const CALLS: usize = 200_000;

/// Parses the start of `text` by one of the entry rules. The entry rules are total, so that nothing comes back only when
/// the call limit was reached.
pub(super) fn parse(entry: Rule, text: &str) -> Option<Pairs<'_, Rule>> {
    static LIMIT: std::sync::Once = std::sync::Once::new();
    LIMIT.call_once(|| pest::set_call_limit(std::num::NonZeroUsize::new(CALLS)));
    derived::QuantityGrammar::parse(entry, text)
        .ok()?
        .next()
        .map(pest::iterators::Pair::into_inner)
}

/// Where the reading of a lone quantity broke off, and what could have stood there; nothing when it did not.
pub(super) fn broken_off(text: &str) -> Option<(usize, Vec<&'static str>)> {
    let error = derived::QuantityGrammar::parse(Rule::option_entry, text).err()?;
    let pest::error::InputLocation::Pos(at) = error.location else {
        return None;
    };
    let pest::error::ErrorVariant::ParsingError { positives, .. } = error.variant else {
        return None;
    };
    let mut names: Vec<&'static str> = positives.into_iter().map(name).collect();
    names.sort_unstable();
    names.dedup();
    Some((at, names))
}

/// What people call the thing that a rule reads.
pub(super) fn name(rule: Rule) -> &'static str {
    match rule {
        Rule::EOI => "the end",
        Rule::option_entry => "a quantity",
        Rule::numbers_entry | Rule::numbers => "numbers",
        Rule::amounts => "numbers with a unit",
        Rule::strands_entry | Rule::strands => "strands of a stated size",
        Rule::trials_entry | Rule::trials | Rule::trials_reversed => {
            "a score out of a number of trials"
        }
        Rule::unit_entry | Rule::tail_entry | Rule::unit => "a unit",
        Rule::blank | Rule::gap | Rule::space => "a blank",
        Rule::stop => "the end of a word",
        Rule::bind => "a hyphen or a blank",
        Rule::number => "a number",
        Rule::digit => "a digit",
        Rule::mixed => "a number with a fraction",
        Rule::vulgar | Rule::one_sign_fraction => "a fraction",
        Rule::grouped => "a number in groups of three digits",
        Rule::decimal => "a decimal number",
        Rule::power => "a power of ten",
        Rule::superscript => "a raised digit",
        Rule::worded
        | Rule::cardinal
        | Rule::below
        | Rule::tens
        | Rule::teens
        | Rule::ones
        | Rule::scale
        | Rule::whole_word
        | Rule::spoken_digit
        | Rule::small_word => "a number in words",
        Rule::word_bind => "a hyphen or a blank between number words",
        Rule::sign => "a sign",
        Rule::joint => "a word or sign between numbers",
        Rule::tolerance => "a tolerance",
        Rule::to | Rule::to_word | Rule::to_strung => "the word or sign of a range",
        Rule::times => "a multiplication sign",
        Rule::slash => "a stroke",
        Rule::and => "`and` or `or`",
        Rule::comma => "a comma",
        Rule::cores => "a number of conductors",
        Rule::gauge_mark => "a gauge mark such as #",
        Rule::strand_words => "the word `strands`",
        Rule::strand_noun => "what the strands are called",
        Rule::strand_place => "where the strands are",
        Rule::strand_of => "the words that lead to a strand's size",
        Rule::out_of => "the words `out of`",
        Rule::per => "per length",
        Rule::count => "a round number of feet or metres",
        Rule::length => "a unit of length",
        Rule::length_or_area => "a unit of length or area",
        Rule::metre => "metres",
        Rule::squared => "a square sign",
        Rule::squared_mil => "square millimetres, as spoken",
        Rule::conductor => "a word for a conductor",
        Rule::squared_metre => "square metres",
        Rule::foot => "feet",
        Rule::kilofoot => "thousands of feet",
        Rule::inch => "inches",
        Rule::yard => "yards",
        Rule::preposition => "words after a preposition",
        Rule::speed => "a speed",
        Rule::mile => "miles",
        Rule::mil => "mils",
        Rule::circular => "circular mils",
        Rule::gauge => "a wire gauge",
        Rule::ohm => "ohms",
        Rule::henry => "henries",
        Rule::farad => "farads",
        Rule::second => "seconds",
        Rule::hertz => "hertz",
        Rule::decibel => "decibels",
        Rule::watt => "watts",
        Rule::volt => "volts",
        Rule::ampere => "amperes",
        Rule::celsius => "degrees Celsius",
        Rule::fahrenheit => "degrees Fahrenheit",
        Rule::kelvin => "kelvins",
        Rule::percent => "per cent",
        Rule::light => "the speed of light",
    }
}

#[cfg(test)]
mod tests {
    use super::{Rule, name};

    /// A message must not show the name that a rule has in the grammar.
    #[test]
    fn every_rule_has_a_name_that_people_use() {
        let rules = Rule::all_rules();
        assert!(rules.len() > 60, "the grammar has lost its rules");
        for &rule in rules {
            let name = name(rule);
            let plain = name.len() >= 3
                && !name.contains(['_', ':'])
                && name.starts_with(|letter: char| letter.is_lowercase() || letter == '`');
            assert!(plain, "{rule:?} is called {name:?}");
        }
    }
}
