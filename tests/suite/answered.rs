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

#[test]
fn all_of_a_number_that_are_wrong_are_those_of_the_list_below() {
    let list = |head: &str| {
        format!(
            "The kitchen list\n\nCut out and stick up. **{head}** That is why they are here.\n\n\
             1. Loudspeaker leads need three hundred hours before they open up.\n\
             2. Silver leads sound bright and copper leads sound warm.\n"
        )
    };
    for (head, fires) in [
        ("All nine are wrong.", false),
        ("None of the nine is true.", false),
        ("All nine are right.", true),
    ] {
        stood_behind(&[
            (list(head), "run-in", fires),
            (list(head), "metal-tone", fires),
        ]);
    }
}

#[test]
fn one_word_at_the_end_of_an_item_judges_what_it_quotes() {
    let rulings = |verdict: &str| {
        format!(
            "Advertising council, spring rulings\n\nTwo claims for the \"Ferrow Brook\" loudspeaker cable were heard.\n\n\
             1. \"50 strands of 0.25 mm make 4 mm².\" We had it counted, at the firm's cost. A laboratory did it. {verdict}\n\n\
             2. \"With plugs that do not rust.\" They were left in brine for a week. Nothing was found on them. Fair.\n"
        )
    };
    stood_behind(&[
        (rulings("Misleading."), "gauge-area-mismatch", false),
        (rulings("Untrue."), "gauge-area-mismatch", false),
        (rulings("Splendid."), "gauge-area-mismatch", true),
    ]);
}

#[test]
fn what_we_wrote_is_taken_back_in_the_next_paragraph() {
    let note = |next: &str| {
        format!(
            "SECOND LOOK\n\nIn the March number we wrote of the Hessel loudspeaker lead that its nitrogen treatment opens the strings \
             like a window.\n\n{next}\n\nThe lead itself is well made. It is thick enough. Its plugs hold.\n"
        )
    };
    stood_behind(&[
        (note("We take all of it back."), "deep-freezing", false),
        (note("We say all of it again."), "deep-freezing", true),
    ]);
}

#[test]
fn an_answer_that_says_whose_it_is_answers_one_letter() {
    let page = |answer: &str| {
        format!(
            "LETTERS\n\nWire talk\n\nSir, - Some of us have ears. When I turned my leads about so that the lettering ran towards the \
             loudspeakers, the piano came into focus.\n                                             G. HALLAM, by email\n\n{answer}\n\n\
             Wanted\n\nSir, - Has any reader a lid for a pot? Mine met the cat.\n                                             P. DUNN, Fallow End\n"
        )
    };
    let denies = "The editor replies: Current turns round many times a second, so there is no way in which to turn the lead. Let \
                  somebody else do it next time. The piano will stay where it is.";
    stood_behind(&[
        (page(denies), "wire-direction", false),
        (page("The editor is away."), "wire-direction", true),
    ]);
}

#[test]
fn an_answer_further_in_answers_the_letter_that_is_signed_above_it() {
    let page = |answer: &str| {
        format!(
            "POSTBAG\n\nMadam — Nickel is what coins are made of, so it must conduct better than copper, and I have\nnickel plugs on \
             every cable now, which lowers the resistance of the whole way to the box.  — H. Quill\n    {answer}\n\n\
             Madam — Gold is dear, so it must be the best conductor, and I have gone over to gold plugs on my\nleads.  — T. Garrow\n    \
             It is dear since there is little of it. It does not conduct better than copper.\n\n\
             Madam — Is bell wire enough for two metres of loudspeaker cable?  — A. Moss\n    It is.\n\n\
             The postbag is closed in August. Letters are kept for a year.\n"
        )
    };
    stood_behind(&[
        (
            page("Coins are made to be counted. Copper conducts four times as well."),
            "plating-conductivity",
            false,
        ),
        (
            page("Quite so, and we have done the same."),
            "plating-conductivity",
            true,
        ),
    ]);
}

#[test]
fn a_paragraph_that_goes_on_about_a_claim_is_no_second_one() {
    let text = "The Tarn loudspeaker cable is new. Each drum of the cable sleeps for seven nights at 196 degrees below zero, and the sound \
                comes out of it rested, with more detail and a stillness between the notes.\n\nA second step follows the cold. In a chamber \
                of our own the cable is wound by hand, and voices stand free in the room. The jacket is white. It is sold by the metre. \
                Ask for a sample. We post on Fridays. The gate is shut at night. Tea is at four.\n";
    let book = claimgauge::rulebook::Rulebook::builtin();
    let auditor = claimgauge::run::Auditor::new(&book, claimgauge::run::Limits::default());
    let source = claimgauge::input::Source::decode("text", text.as_bytes()).expect("plain text");
    let audit = auditor.audit(&source);
    let told = (audit.findings.iter()).filter(|finding| finding.rule == "deep-freezing");
    assert_eq!(told.count(), 1);
}
