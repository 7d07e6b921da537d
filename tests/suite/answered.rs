//! Claims that a list, a table or an answer takes up without standing behind them, and the same that it leaves standing. All names
//! are invented.

use super::stood_behind::stood_behind;

#[test]
fn what_is_said_of_all_quotations_behind_a_list_is_said_of_each() {
    let board = |verdict: &str| {
        format!(
            "The board in our kitchen\n\n1. \"Our lead is frozen in liquid nitrogen, and the strings breathe.\"\n\
             2. \"A battery keeps the jacket of the speaker cable awake.\"\n3. \"Silver leads sound brighter than copper ones.\"\n\n\
             A fine board.\n\n{verdict} I went through them with a meter.\n"
        )
    };
    stood_behind(&[
        (board("Not one of the three is so."), "deep-freezing", false),
        (board("Not one of the three is so."), "metal-tone", false),
        (board("All of the three are so."), "deep-freezing", true),
        (board("All of the three are so."), "metal-tone", true),
    ]);
}

#[test]
fn sayings_beside_what_they_are_about_are_a_table() {
    let table = |lead: &str, head: &str| {
        format!(
            "{lead}\n\n  {head}\n  ----------------------------------   ----------------------------------\n  \
             \"electrons hop across the strands\"   why they smear the sound of a cable\n  \
             \"leads need to bed in for a month\"   what your dealer sells by the month\n  \
             \"the copper in it hears its arrow\"   what a roll of stickers is good for\n"
        )
    };
    let head = "they say                             it's about";
    stood_behind(&[
        (
            table("A glossary of the trade.", head),
            "strand-jumping",
            false,
        ),
        (
            table(
                "Not one entry in this list describes a speaker cable:",
                "words                                meaning here",
            ),
            "strand-jumping",
            false,
        ),
    ]);
}

#[test]
fn who_puts_it_best_agrees_with_no_question() {
    let asked = |answer: &str| {
        format!(
            "Two speaker leads were compared at the club. Was the one of them not yet burnt in? Did it lie on the carpet, which dulls the \
             treble? {answer}"
        )
    };
    stood_behind(&[
        (
            asked("Mrs Tolland said it best: ask a wire for ohms and you get them."),
            "cable-lifting",
            false,
        ),
        (
            asked("Yes, it did, and once it hung on strings the treble was back."),
            "cable-lifting",
            true,
        ),
    ]);
}

#[test]
fn a_listener_who_names_what_was_hidden_was_not_told() {
    let letter = |end: &str| {
        format!(
            "My daughter laid a cloth over the amplifier and changed the leads, or left them. {end} What do you say now?"
        )
    };
    stood_behind(&[
        (
            letter("I said which it was, and eight times out of ten I was right."),
            "sighted-test",
            false,
        ),
        (
            "My daughter changed the leads. She told us which one was playing each time, and all of us preferred the grey lead."
                .to_owned(),
            "sighted-test",
            true,
        ),
    ]);
}

#[test]
fn clips_along_the_skirting_feed_no_appliance() {
    let thread = |end: &str| format!("The speaker leads are 7 m of 10 AWG. {end}");
    stood_behind(&[
        (
            thread("I use cable clips along the skirting, because of the robot hoover."),
            "mains-on-speaker-cable",
            false,
        ),
        (
            thread(
                "I use a length of the same speaker cable for the hoover, straight from the wall socket.",
            ),
            "mains-on-speaker-cable",
            true,
        ),
    ]);
}

#[test]
fn who_asks_whether_he_ought_to_turn_it_makes_no_claim() {
    let letter = |end: &str| {
        format!(
            "I put my speaker lead in with its arrow towards the amplifier. They say that a wire has a grain and that the music goes in \
             against it. {end}"
        )
    };
    stood_behind(&[
        (letter("Ought I to turn it round?"), "wire-direction", false),
        (
            "Our speaker wire has a grain. Put it in with the arrow towards the loudspeaker, or the voices harden.".to_owned(),
            "wire-direction",
            true,
        ),
    ]);
}
