//! The concepts by which facts are told, looked up once by name.

use crate::lexicon::{ConceptId, Lexicon};

macro_rules! terms {
    ($($field:ident = $name:literal),* $(,)?) => {
        /// Numbers of the concepts of `rules/words-facts.yaml`; a concept that the word lists lack is never met.
        #[derive(Debug, Clone, Copy)]
        pub(super) struct Terms {
            $(pub(super) $field: ConceptId,)*
        }

        impl Terms {
            /// Looks all names up.
            pub(super) fn new(lexicon: &Lexicon) -> Self {
                let none = ConceptId(u16::MAX);
                Self { $($field: lexicon.id($name).unwrap_or(none),)* }
            }

            /// Names that the facts ask for.
            #[cfg(test)]
            pub(super) const NAMES: &'static [&'static str] = &[$($name),*];
        }
    };
}

terms! {
    cable = "cable.noun",
    speaker = "speaker.noun",
    lamp = "lamp.noun",
    resistor = "resistor.noun",
    amplifier = "amplifier.noun",
    supply = "supply.noun",
    len_other = "len.other",
    len_reel = "len.reel",
    len_room = "len.room",
    len_spacing = "len.spacing",
    len_skin = "len.skin",
    size_solid = "size.solid",
    size_strand = "size.strand",
    size_combined = "size.combined",
    size_joined = "size.joined",
    size_per = "size.per",
    size_makes = "size.makes",
    use_told = "use.told",
    use_refused = "use.refused",
    bundle_join = "bundle.join",
    count_two = "count.two",
    count_three = "count.three",
    count_four = "count.four",
    count_six = "count.six",
    count_other = "count.other",
    size_rejected = "size.rejected",
    parallel = "parallel",
    r_loop = "r.loop",
    r_single = "r.single",
    r_word = "r.word",
    r_contacts = "r.contacts",
    z_load = "z.load",
    z_characteristic = "z.characteristic",
    z_source = "z.source",
    damping_amp = "damping.amp",
    loss = "loss.word",
    skin = "skin.word",
    iacs = "iacs.word",
    purity = "purity.word",
    coverage = "coverage.word",
    temp_air = "temp.air",
    carry = "carry.word",
    copper = "metal.copper",
    silver = "metal.silver",
    silver_plated = "metal.silver_plated_copper",
    tinned = "metal.tinned",
    cca = "metal.cca",
    aluminium = "metal.aluminium",
    ccs = "metal.ccs",
    gold = "metal.gold",
    nickel = "metal.nickel",
    rhodium = "metal.rhodium",
    plating = "plating.context",
    solid = "build.solid",
    stranded = "build.stranded",
    insulated_strands = "build.insulated_strands",
    foil = "build.foil",
    listing = "listing",
    chart_run = "chart.run",
    offer = "offer",
    offer_not = "offer.not",
    versus = "versus",
    better = "outcome.better",
    strong = "outcome.strong",
    credit = "credit",
    attributed = "credit.given",
    listened = "test.heard",
    sound = "sound.any",
    picked = "outcome.picked",
    handling = "outcome.handling",
    swapped = "test.swapped",
    subject_size = "subject.size",
    subject_length = "subject.length",
    subject_metal = "subject.metal",
    subject_only = "subject.only",
    both = "both",
    both_not = "both.not",
    side_noun = "side.noun",
    alike = "side.alike",
    rival_kind = "rival.kind",
    first_two = "side.first_two",
    others = "side.others",
    former = "side.former",
    latter = "side.latter",
    other = "side.other",
    third = "side.third",
    ours = "side.ours",
    theirs = "side.theirs",
    blind = "test.blind",
    sighted = "test.sighted",
    matched = "test.matched",
    knew = "knew.verb",
    knew_which = "knew.which",
    announce = "announce.verb",
    announce_what = "announce.what",
    watch = "watch.verb",
    changeover = "change.over",
    level_act = "level.act",
    level_thing = "level.thing",
    level_set = "level.set",
    level_same = "level.same",
    let_pass = "level.let",
    level_apart = "level.apart",
    levels_legit = "levels.legit",
    doubt = "test.doubt",
    tried = "test.about",
    vote = "sighted.vote",
    say_not = "say.not",
    report = "stance.report",
    conditional = "stance.if",
    say_nobody = "say.nobody",
    say_yes = "say.yes",
    ask_whether = "say.whether",
    suppose = "say.suppose",
    proof = "score.proof",
    right = "score.right",
    no_proof = "score.noproof",
    critique = "critique",
    arithmetic = "arithmetic",
    wrong = "printed.wrong",
}

#[cfg(test)]
mod tests {
    use super::Terms;
    use crate::rulebook::Rulebook;

    #[test]
    fn every_term_is_a_concept_of_the_word_lists() {
        let rulebook = Rulebook::builtin();
        for name in Terms::NAMES {
            assert!(
                rulebook.lexicon().id(name).is_some(),
                "no word list is called {name}"
            );
        }
    }
}
