//! The concepts by which facts are told and the lists in which their words are looked up, found once by name.

use crate::lexicon::{ConceptId, Lexicon, lists};

lists! {
    /// The lists of `rules/words-facts.yaml` by which facts are told.
    pub(super) struct Lists;
    name_common = "name.common",
    name_label = "name.label",
    name_letter_verb = "name.letter_verb",
    name_speech = "name.speech",
    name_office = "name.office",
    name_title = "name.title",
    name_place_behind = "name.place_behind",
    name_place_before = "name.place_before",
    name_thing_before = "name.thing_before",
    described_plain = "described.plain",
    described_determiner = "described.determiner",
    described_led = "described.led",
    described_noun = "described.noun",
    side_theirs_key = "side.theirs_key",
    side_ours_key = "side.ours_key",
    side_before_head = "side.before_head",
    side_nameless = "side.nameless",
    side_load_end = "side.load_end",
    side_size_end = "side.size_end",
    size_unit_word = "size.unit_word",
    size_of_one = "size.of_one",
    count_noun = "count.noun",
    count_kind = "count.kind",
    count_head = "count.head",
    count_head_before = "count.head_before",
    count_head_behind = "count.head_behind",
    count_stem = "count.stem",
    count_word = "count.word",
    score_set = "score.set",
    score_went = "score.went",
    score_vote = "score.vote",
    score_trial = "score.trial",
    score_link = "score.link",
    score_between = "score.between",
    score_article = "score.article",
    score_times = "score.times",
    score_for = "score.for",
    score_wrong = "score.wrong",
    score_against = "score.against",
    count_tens = "count.tens",
    count_hundred = "count.hundred",
    score_of_three = "score.of_three",
    score_of_four = "score.of_four",
    comparative_none = "comparative.none",
    comparative_lead = "comparative.lead",
    comparative_lit = "comparative.lit",
    story_word = "story.word",
    outcome_vague = "outcome.vague",
    procedure_step = "procedure.step",
    clause_step = "clause.step",
    outcome_negation = "outcome.negation",
    difference_more = "difference.more",
    difference_own_loss = "difference.own_loss",
    difference_light = "difference.light",
    difference_light_meter = "difference.light_meter",
    difference_up = "difference.up",
    difference_power = "difference.power",
    difference_volt = "difference.volt",
    difference_voltage = "difference.voltage",
    difference_voltage_up = "difference.voltage_up",
    difference_less = "difference.less",
    multiple_double = "multiple.double",
    multiple_treble = "multiple.treble",
    multiple_half_more = "multiple.half_more",
    multiple_third_more = "multiple.third_more",
    multiple_quarter_more = "multiple.quarter_more",
    multiple_fourfold = "multiple.fourfold",
    multiple_tenfold = "multiple.tenfold",
    measured_taken = "measured.taken",
    contrast_place = "contrast.place",
    contrast_colour = "contrast.colour",
    contrast_age = "contrast.age",
    contrast_cover = "contrast.cover",
    contrast_build = "contrast.build",
    contrast_mine = "contrast.mine",
    contrast_yours = "contrast.yours",
    contrast_third = "contrast.third",
    contrast_alone = "contrast.alone",
    contrast_noun = "contrast.noun",
    held_equal = "held.equal",
    held_size = "held.size",
    held_word = "held.word",
    held_list = "held.list",
}

macro_rules! terms {
    ($($field:ident = $name:literal),* $(,)?) => {
        /// Numbers of the concepts of `rules/words-facts.yaml`; a concept that the word lists lack is never met.
        #[derive(Debug, Clone, Copy)]
        pub(super) struct Terms<'l> {
            $(pub(super) $field: ConceptId,)*
            /// Beside the concepts, the lists.
            pub(super) lists: &'l Lists<'l>,
        }

        impl<'l> Terms<'l> {
            /// Looks all names up.
            pub(super) fn new(lexicon: &Lexicon, lists: &'l Lists<'l>) -> Self {
                let none = ConceptId(u16::MAX);
                Self { $($field: lexicon.id($name).unwrap_or(none),)* lists }
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
    size_any = "size.any",
    size_makes = "size.makes",
    use_told = "use.told",
    use_refused = "use.refused",
    bundle_join = "bundle.join",
    count_two = "count.two",
    count_three = "count.three",
    count_four = "count.four",
    count_six = "count.six",
    count_other = "count.other",
    count_price = "count.price",
    size_rejected = "size.rejected",
    parallel = "parallel",
    r_loop = "r.loop",
    r_single = "r.single",
    r_word = "r.word",
    r_contacts = "r.contacts",
    z_load = "z.load",
    z_characteristic = "z.characteristic",
    z_source = "z.source",
    z_word = "z.word",
    place = "use.place",
    damping_amp = "damping.amp",
    loss = "loss.word",
    skin = "skin.word",
    skin_rise = "skin.rise",
    skin_depth = "skin.depth",
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
    more = "comparative.more",
    multiple = "comparative.multiple",
    times = "comparative.times",
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
    challenge = "score.challenge",
    right = "score.right",
    no_proof = "score.noproof",
    critique = "critique",
    arithmetic = "arithmetic",
    wrong = "printed.wrong",
}

#[cfg(test)]
mod tests {
    use super::{Lists, Terms};
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
        for name in Lists::NAMES {
            assert!(
                rulebook.lexicon().has_list(name),
                "no list is called {name}"
            );
        }
    }
}
