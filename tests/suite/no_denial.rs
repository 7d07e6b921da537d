//! Negations that deny nothing of a claim: what they govern is beside it, belongs to another wire, or tells that a fault has gone. In
//! pairs, each with a text near it in which the claim is denied. All names are invented.

use crate::stood_behind::stood_behind;

/// Texts of one rule, with whether somebody stands behind its claim.
fn told(rule: &'static str, texts: &[(&str, bool)]) {
    let cases: Vec<_> = (texts.iter())
        .map(|&(text, fires)| (text.to_owned(), rule, fires))
        .collect();
    stood_behind(&cases);
}

#[test]
fn an_answer_that_takes_up_a_negation_agrees_with_it() {
    told(
        "percent-without-quantity",
        &[
            (
                "“I was promised nothing,” a customer writes, “and got six times the emotion through my old loudspeakers. It can't \
                 be anything but your cable.” It can't, and thank you.",
                true,
            ),
            (
                "“I was promised nothing,” a customer writes, “and got six times the emotion through my old loudspeakers. It must \
                 be your cable.” It can't, and we told him so.",
                false,
            ),
        ],
    );
}

#[test]
fn what_is_not_heard_until_it_is_gone_is_heard() {
    let dirt = "Don't look for more in this speaker lead. Look for less: less of the harmonic dirt that your present wire sprinkles over \
                the strings.";
    told(
        "wire-distortion",
        &[
            (
                &format!("{dirt} You cannot hear it until it is gone."),
                true,
            ),
            (
                &format!("{dirt} You cannot hear it, and no analyser shows it."),
                false,
            ),
        ],
    );
}

#[test]
fn a_case_that_is_told_apart_does_not_what_the_other_does() {
    told(
        "cable-lifting",
        &[
            (
                "Put your speaker leads on blocks: what lies on the floor sounds slow and shut in, what hovers above it does not.",
                true,
            ),
            (
                "Put your speaker leads on blocks: the floor takes nothing from the sound, and what hovers above it does not play \
                 better.",
                false,
            ),
        ],
    );
}

#[test]
fn a_fault_that_is_no_more_was_there() {
    told(
        "vibration-control",
        &[
            (
                "I clamped two lead blocks on my speaker leads, and the blur on the double bass was no more.",
                true,
            ),
            (
                "I clamped two lead blocks on my speaker leads, and the blur on the double bass was no more and no less than before.",
                false,
            ),
        ],
    );
    told(
        "bias-battery",
        &[(
            "I fitted a nine-volt block to the spare wire inside my loudspeaker cables, to charge the insulation, and the hash on the \
             voices has not been heard since.",
            true,
        )],
    );
    told(
        "demagnetising",
        &[(
            "I ran the coil along the speaker cables, end to end, and the film that had been creeping over the sound was not there \
             any more.",
            true,
        )],
    );
}

#[test]
fn an_answer_that_rules_out_a_cause_denies_no_effect() {
    let coarse = "Why does a loudspeaker cable sound coarse when you turn it up?";
    told(
        "vibration-control",
        &[
            (
                &format!(
                    "{coarse} Not for want of copper. It is because it's dancing, and ours, in its bed of wool, lies still."
                ),
                true,
            ),
            (
                &format!(
                    "{coarse} It doesn't. You may blame the amplifier, not a wire that is dancing."
                ),
                false,
            ),
        ],
    );
}

#[test]
fn a_question_that_is_answered_sets_no_task() {
    let signal = "In a lead with bare strands the signal is handed from one to its neighbour and back, and some of it gets dropped. You \
                  hear the dropped notes on S and T.";
    told(
        "strand-jumping",
        &[
            (
                &format!("“Is it true the strands interfere with each other?” {signal}"),
                true,
            ),
            (&format!("Is it true? Say why. {signal}"), false),
        ],
    );
}

#[test]
fn a_yes_of_the_author_stands_behind_what_he_was_asked() {
    let asked = "Jo from Leek writes in: do new speaker leads need time?";
    let hours = "Two hundred hours before you so much as form an opinion.";
    told(
        "run-in",
        &[
            (
                &format!("{asked} Yes, we both said, and at the same moment. {hours}"),
                true,
            ),
            (
                &format!("{asked} Yes, says her dealer, and at the same moment. {hours}"),
                false,
            ),
        ],
    );
}

#[test]
fn what_is_denied_before_a_lead_says_nothing_of_its_list() {
    let list = "1. Every strand is sleeved. In a normal speaker lead the electrons keep switching lanes, and by the time they get to the \
                speaker the beat has gone soft.\n2. Every plug is pressed on.";
    told(
        "strand-jumping",
        &[
            (
                &format!(
                    "There's no pixie dust in it. We don't do crystals. We do two things, and we do them well:\n\n{list}"
                ),
                true,
            ),
            (
                &format!(
                    "There's no truth in what they print of leads. We give two lines of theirs, and none of them holds:\n\n{list}"
                ),
                false,
            ),
        ],
    );
}

#[test]
fn a_no_before_a_thing_answers_nothing() {
    let ribbon =
        "This ribbon for loudspeakers may be fed behind plasterboard or across the ceiling void.";
    told(
        "in-wall-unrated",
        &[
            (
                &format!("Only 2.2 mm high! {ribbon} No ugly trunking."),
                true,
            ),
            (&format!("Only 2.2 mm high! {ribbon} No it may not."), false),
        ],
    );
}

#[test]
fn what_a_wire_by_its_name_leaves_out_others_put_in() {
    let salts = "A common lead salts the music with overtones of its own, a grain that you take for part of the recording until \
                 it isn't there any more.";
    told(
        "wire-distortion",
        &[
            (
                &format!("{salts} The flat copper of our Willow adds no such thing."),
                true,
            ),
            (
                &format!("{salts} The analyser of the Willow bench finds no such thing."),
                false,
            ),
        ],
    );
}

#[test]
fn what_was_once_thought_little_of_is_so_no_longer() {
    told(
        "plating-conductivity",
        &[
            (
                "I used to think of rhodium as jewellery. It is simply a better conductor than copper, and a speaker lead with a coat \
                 of it does not hold the amplifier back.",
                true,
            ),
            (
                "I used to think of rhodium as a better conductor than copper. A speaker lead with a coat of it has more resistance.",
                false,
            ),
        ],
    );
    told(
        "purity-audible",
        &[
            (
                "You won't need a laboratory to tell seven-nines copper from the lesser sort in a speaker lead. A solo cello will do.",
                true,
            ),
            (
                "You won't tell seven-nines copper from the lesser sort in a speaker lead. Not in a laboratory, and not on a solo cello.",
                false,
            ),
        ],
    );
    told(
        "deep-freezing",
        &[
            (
                "After a night in liquid nitrogen the wire in our speaker leads is not the same wire, and the loudspeakers tell you so \
                 with the first chord.",
                true,
            ),
            (
                "After a night in liquid nitrogen the wire in our speaker leads is the same wire, and the loudspeakers tell you so with \
                 the first chord.",
                false,
            ),
        ],
    );
}
