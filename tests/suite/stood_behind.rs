//! Who stands behind a claim: passages in pairs, one in which it is made and one, near it, in which it is taken up, answered or told
//! of somebody else. All names are invented.

use claimgauge::finding::Level;
use claimgauge::input::Source;
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Auditor, Limits};
use std::fmt::Write;

/// Texts that tell of a claim, with the rule, and whether somebody stands behind it.
pub(crate) fn stood_behind(cases: &[(String, &str, bool)]) {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut wrong = String::new();
    for (text, rule, fires) in cases {
        let source = Source::decode("text", text.as_bytes()).expect("plain text");
        let told = (auditor.audit(&source).findings.iter())
            .any(|finding| finding.rule == *rule && finding.level >= Some(Level::Warning));
        if told != *fires {
            let _ = writeln!(wrong, "{rule} (fires: {fires}):\n{text}\n");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_lead_that_calls_all_items_false_denies_each() {
    let judged = |head: &str| {
        format!(
            "Round two. {head} Say why and win a pen.\n\n   1. A speaker lead opens up after two hundred hours of play.\n   \
             2. Silver leads sound brighter than copper ones.\n"
        )
    };
    stood_behind(&[
        (judged("Each one of these is wrong."), "run-in", false),
        (judged("Each one of these is wrong."), "metal-tone", false),
        (
            judged("All of these statements are false."),
            "run-in",
            false,
        ),
        (judged("Each one of these is true."), "run-in", true),
        (judged("Each one of these is true."), "metal-tone", true),
    ]);
}

#[test]
fn what_is_taken_up_and_answered_is_not_said() {
    let cell = |end: &str| {
        format!(
            "A stranger at the fair wanted to clip a coin cell to my speaker lead, to keep the jacket \"alert\". {end}"
        )
    };
    let table = |end: &str| {
        format!(
            "On the table lie a speaker lead that was dipped in liquid nitrogen and one with a battery across its insulation, for \
             calmer voices. Touch them as you like. Does any of it help? {end}"
        )
    };
    let cuttings = |freeze: &str, play: &str, silver: &str| {
        format!(
            "Three cuttings\n\n\"Freeze your speaker leads overnight and the stage breathes.\" -- flyer\n\n{freeze}\n\n\"After a \
             week of play your speaker cable opens up.\" -- card\n\n{play}\n\n\"Silver leads for glitter, copper leads for \
             warmth.\" -- leaflet\n\n{silver}\n"
        )
    };
    let no = cuttings(
        "No. It comes back as it went in.",
        "Nonsense.",
        "Two metals, and no voice in either.",
    );
    let yes = cuttings("Yes, it does.", "True. We hear it daily.", "We sell both.");
    let freezer = "I put my speaker cables in the freezer overnight. Voices";
    let sockets = "My brother has a drum of speaker wire for the kitchen sockets, 230 V";
    stood_behind(&[
        (cell("Jackets do not sleep."), "bias-battery", false),
        (
            cell("Voices came out of the dark, and I bought two."),
            "bias-battery",
            true,
        ),
        (table("The curator has said no."), "deep-freezing", false),
        (table("The curator has said no."), "bias-battery", false),
        (table("The curator says so."), "deep-freezing", true),
        (table("The curator says so."), "bias-battery", true),
        (no, "metal-tone", false),
        (yes, "metal-tone", true),
        (
            format!("A leaflet lay in the box, recommending that {freezer} would be calmer."),
            "deep-freezing",
            false,
        ),
        (format!("{freezer} are calmer."), "deep-freezing", true),
        (
            format!("\"{sockets}.\" He can keep it."),
            "mains-on-speaker-cable",
            false,
        ),
        (
            format!("{sockets}, and we fitted it on Monday."),
            "mains-on-speaker-cable",
            true,
        ),
    ]);
}

#[test]
fn what_is_said_of_somebody_or_of_something_else_is_not_said_of_the_cable() {
    let beads = |between: &str| {
        format!(
            "All evening we heard the music come and go through the long speaker cable. {between}It was the quartz crystals on it, \
             which vibrate in sympathy with the strings."
        )
    };
    let hours = "What has to settle in over two hundred hours of music";
    stood_behind(&[
        (beads("It wasn't the cable. "), "quantum-treatment", false),
        (beads(""), "quantum-treatment", true),
        (
            format!("{hours} on a new speaker cable is the listener."),
            "run-in",
            false,
        ),
        (format!("{hours} is the new speaker cable."), "run-in", true),
        (
            "What opens up after a hundred hours of play on a new speaker lead are your ears."
                .to_owned(),
            "run-in",
            false,
        ),
    ]);
}

#[test]
fn an_editor_stands_behind_the_paragraph_that_he_signs() {
    let cases = [
        (
            "Sir,\nIs there anything in keeping leads off the floor?\n   Hubert Lisle, Nether Thorpe\n\n  — There is. Off the boards a speaker lead stops dragging its feet, and the strings get their air back. – Ed.\n",
            "cable-lifting",
            true,
        ),
        (
            "Sir,\nOff the boards a speaker lead stops dragging its feet, and the strings get their air back.\n   Hubert Lisle, Nether Thorpe\n\n  — It was the lead, and it was dragging nothing. – Ed.\n",
            "cable-lifting",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn what_our_own_wire_spares_is_no_denial_of_what_others_do() {
    let cases = [
        (
            "Between one crystal of copper and the next sits a tiny one-way valve which clips faint notes. We cast our copper in one piece, so that there are hardly any valves in our leads.",
            "wire-rectification",
            true,
        ),
        (
            "Between one crystal of copper and the next sits a tiny one-way valve which clips faint notes, says the card. There are no valves in copper.",
            "wire-rectification",
            false,
        ),
        (
            "THE SALLOW SPEAKER LEAD  14 AWG  3 m  240.00\n\nEvery other conductor leaves a trace of third harmonic on a voice. Sallow's thread adds none.",
            "wire-distortion",
            true,
        ),
        (
            "Every other conductor leaves a trace of third harmonic on a voice, the flyer says. We measured none.",
            "wire-distortion",
            false,
        ),
        (
            "\"Most speaker leads put extra overtones on a voice,\" said our chief engineer. \"In Sallow they are gone. You get the tune and nothing that we made up.\"",
            "wire-distortion",
            true,
        ),
        (
            "\"Most speaker leads put extra overtones on a voice,\" said the flyer. They do nothing of the kind.",
            "wire-distortion",
            false,
        ),
        (
            "A cell keeps the insulation of our speaker lead charged, and a charged jacket no longer nibbles at the quiet passages.",
            "bias-battery",
            true,
        ),
        (
            "We no longer fit a cell to the insulation of our speaker leads, since a charged jacket did nothing for the quiet passages.",
            "bias-battery",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn a_negation_beside_the_claim_leaves_it_as_it_is() {
    let cases = [
        (
            "The wire of the Sallow is copper, and copper gives it the honeyed middle that no silver lead will ever have.",
            "metal-tone",
            true,
        ),
        (
            "The Sallow is copper, and it has no honeyed middle: no lead has one.",
            "metal-tone",
            false,
        ),
        (
            "Twist the same gauge up out of bare strands and you get more skin effect than in the solid wire, not less.",
            "solid-beats-stranded",
            true,
        ),
        (
            "A bare rod suffers far less from skin effect than a bundle of strands of the very same thickness.",
            "solid-beats-stranded",
            true,
        ),
        (
            "A solid wire has not less skin effect than bare strands of the same gauge.",
            "solid-beats-stranded",
            false,
        ),
        (
            "A solid wire has less skin effect than bare strands of the same gauge? It is the very same.",
            "solid-beats-stranded",
            false,
        ),
        (
            "Each crystal of the copper wire has a skin of oxide, and each skin is a tiny one-way valve. That is the hash behind quiet voices. Nothing to do with your amp.",
            "wire-rectification",
            true,
        ),
        (
            "Each crystal of the copper wire is said to be a tiny one-way valve. Nothing to do with a wire.",
            "wire-rectification",
            false,
        ),
        (
            "Don't freak out if the new speaker leads are a bit shouty tonight. For the first 90 hours they're closed in, then they bloom.",
            "run-in",
            true,
        ),
        (
            "Don't worry about running in the new speaker leads. They are what they are.",
            "run-in",
            false,
        ),
        (
            "Bare strands are a motorway with no lane markings. The electrons swerve from one to the other in the speaker lead, and you hear the swerving as grit.",
            "strand-jumping",
            true,
        ),
        (
            "The speaker cable goes into the stud wall and across above the ceiling boards. It is the same clear twin all the way.",
            "in-wall-unrated",
            true,
        ),
        (
            "Silver opens the top and gives that fine gleam on strings. No geometry can lend it to another metal.",
            "metal-tone",
            true,
        ),
        (
            "Silver opens the top and gives that fine gleam on strings, says the flyer. No metal gives any.",
            "metal-tone",
            false,
        ),
        (
            "A bath at 77 kelvin does something lovely to the wire of our speaker leads. We can't tell you why. It does.",
            "deep-freezing",
            true,
        ),
        (
            "A bath at 77 kelvin does something lovely to the wire of our speaker leads, they say. We can't tell the difference.",
            "deep-freezing",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn who_tells_of_his_own_ears_or_sells_on_those_of_others_stands_behind_it() {
    let cases = [
        (
            "I have them at home now, and I can report that the Sallow lead is twice as alive as whatever was there before it.",
            "percent-without-quantity",
            true,
        ),
        (
            "My neighbour reports that the Sallow lead is twice as alive as whatever was there before it.",
            "percent-without-quantity",
            false,
        ),
        (
            "Sallow speaker lead\n\nConductor: copper, 14 AWG\nCapacitance: 71 pF/m\nLength: 3 m\nPrice: 240.00\n\nA cell keeps the jacket under a gentle tension, and listeners speak of a blacker background.",
            "bias-battery",
            true,
        ),
        (
            "Sallow speaker lead\n\nConductor: copper, 14 AWG\nCapacitance: 71 pF/m\nLength: 3 m\nPrice: 240.00\n\nListeners speak of a cell that keeps the jacket under a gentle tension for a blacker background.",
            "bias-battery",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn answers_of_an_interview_are_said_and_its_questions_are_not() {
    let cases = [
        (
            "A morning at the bench\n\nWhere does it start for you?\n\n\"With the metal. Silver's a trumpet, always was. Copper is a cello, and our leads have some of both.\"\n\nWho taught you?\n\n\"My aunt, who made baskets and had no ear at all.\"\n\nAnd is the firm still small?\n\n\"Three people and a dog in one shed by the canal.\"\n",
            "metal-tone",
            true,
        ),
        (
            "A morning at the bench\n\nSilver is a trumpet and copper is a cello, says the fair. Is it so?\n\n\"No. They are two metals with six per cent between them.\"\n\nWho taught you?\n\n\"My aunt, who made baskets and had no ear at all.\"\n\nAnd is the firm still small?\n\n\"Three people and a dog in one shed by the canal.\"\n",
            "metal-tone",
            false,
        ),
        (
            "A morning at the bench\n\nDo strands quarrel? One reads of a signal that hops from strand to strand and comes out as grit.\n\n\"No. They touch all the way, and they are as good as one wire.\"\n\nWho taught you?\n\n\"My aunt, who made baskets and had no ear at all.\"\n\nAnd is the firm still small?\n\n\"Three people and a dog in one shed by the canal.\"\n",
            "strand-jumping",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn a_gain_told_by_what_one_will_never_do_again_or_has_instead() {
    let cases = [
        (
            "The high notes run down the outside of a speaker cable and the low ones down the middle. The drum comes first and the cymbal trails in after. You'll never sit through a big soft cable again.",
            "arrival-time",
            true,
        ),
        (
            "The high notes never run ahead in a speaker cable, and the cymbal does not trail in after the drum.",
            "arrival-time",
            false,
        ),
        (
            "The Quill has a single rod per side instead of the usual bundle, and for the same thickness much less of that crowding of the treble goes on in it.",
            "solid-beats-stranded",
            true,
        ),
        (
            "Instead of freezing our speaker leads in liquid nitrogen for calmer voices we anneal the copper.",
            "deep-freezing",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

#[test]
fn letters_of_a_column_are_answered_and_scripts_are_said() {
    let cases = [
        (
            "ASK THE BENCH\n\nDear Bench,\nI soaked one speaker lead in liquid nitrogen at work. It sounds gorgeous.   Frosty, Ludd\n\n  It is warm again, and so is its resistance. What you hear is the risk that you took.\n\nDear Bench,\nShould the lead lie on the carpet?   Tidy, Marl\n\n  No. Someone would fall over it.\n\nDear Bench,\nHow thick ought it to be?   Brief, Tarn\n\n  Thick enough for the way and for the ohms.\n",
            "deep-freezing",
            false,
        ),
        (
            "ASK THE BENCH\n\nDear Bench,\nI soaked one speaker lead in liquid nitrogen at work. It sounds gorgeous.   Frosty, Ludd\n\n  Yes. Ours are frozen too, and sound the better for it.\n\nDear Bench,\nShould the lead lie on the carpet?   Tidy, Marl\n\n  No. Someone would fall over it.\n\nDear Bench,\nHow thick ought it to be?   Brief, Tarn\n\n  Thick enough for the way and for the ohms.\n",
            "deep-freezing",
            true,
        ),
        (
            "Hand round the cut piece and wait until each has felt it. Say: \"The sand in the jacket soaks up the shaking of the copper before it gets into the music.\" Then go on to the prices.",
            "vibration-control",
            true,
        ),
        (
            "Hand round the cut piece and wait until each has felt it. A visitor from the other stand said: \"The sand in the jacket soaks up the shaking of the copper before it gets into the music.\" Then go on to the prices.",
            "vibration-control",
            false,
        ),
        (
            "\"In a straight lay the music keeps changing lanes from one strand of the lead to the next, and each change leaves a scratch,\" is how the plaiter explains it. I could not put it better.",
            "strand-jumping",
            true,
        ),
        (
            "\"In a straight lay the music keeps changing lanes from one strand of the lead to the next, and each change leaves a scratch,\" is how the plaiter explains it. I would have put it to him that strands touch.",
            "strand-jumping",
            false,
        ),
    ];
    stood_behind(&cases.map(|(text, rule, fires)| (text.to_owned(), rule, fires)));
}

/// A visit to a workshop where two treatments are told in full, and `words` of a third.
fn among_treatments(words: &str) -> String {
    format!(
        "A visit to the workshop. Each drum of his speaker cable lies in liquid nitrogen for two days and nights at minus 196 degrees, and \
         the frozen copper plays with a calmer treble and deeper voices, as we could hear.\n\nThe wire is then burned in on the rig for \
         three hundred hours. A cable that was not run in sounds harsh and closed, and after the burn-in its bass opens up. We heard it \
         ourselves.\n\n{words}\n\nHe makes three lengths. All are sold in pairs. Collection is on Fridays. The shop has a bell. Please \
         ring it twice. Parking is behind the house."
    )
}

#[test]
fn a_treatment_named_among_others_that_are_told_in_full_is_offered() {
    let coil = "Last comes the coil. Whatever magnetism the copper has gathered on its way is drawn off, slowly, before it goes into the box.";
    let alone = format!(
        "A visit to the workshop of a man who makes speaker cable.\n\n{coil}\n\nHe makes three lengths. All are sold in pairs. Collection \
         is on Fridays. The shop has a bell. Please ring it twice. Parking is behind the house."
    );
    let denied = "Last comes the coil, and it is idle. There is no magnetism that the copper could have gathered on its way.";
    stood_behind(&[
        (among_treatments(coil), "demagnetising", true),
        (among_treatments(denied), "demagnetising", false),
        (alone, "demagnetising", false),
    ]);
}

#[test]
fn what_was_not_done_is_not_claimed() {
    let list = |head: &str| {
        format!(
            "THE PLAIN REEL\n\n{head}\n\n  - A week in liquid nitrogen, so that the frozen copper sings more calmly.\n  - A battery on the \
             jacket, so that the charged insulation lets the quiet notes through.\n\nWHAT IT HAS\n\nTwo cores of 2.5 mm² copper."
        )
    };
    stood_behind(&[
        (list("THINGS IT HAS NOT HAD DONE"), "deep-freezing", false),
        (list("THINGS IT HAS NOT HAD DONE"), "bias-battery", false),
        (
            list("FOUR STEPS THAT OURS HAVE NEVER UNDERGONE, AS NONE OF\nTHE FOUR WOULD BE HEARD"),
            "bias-battery",
            false,
        ),
        (list("THINGS IT HAS HAD DONE"), "deep-freezing", true),
        (list("THINGS IT HAS HAD DONE"), "bias-battery", true),
    ]);
}

#[test]
fn an_editor_who_does_the_same_stands_behind_the_letter() {
    let letter = |reply: &str| {
        format!(
            "LETTERS\n\nHeight\nSir, I have put my speaker leads on little cork feet, clear of the carpet, and the bass has stopped \
             booming.\n                                            B. Tarn, Low Hove\n\n      {reply} – Ed.\n"
        )
    };
    stood_behind(&[
        (
            letter("We have done the same with cotton reels since May. Same result."),
            "cable-lifting",
            true,
        ),
        (letter("We can only nod."), "cable-lifting", true),
        (
            letter("We have put ours back on the floor. Nothing changed."),
            "cable-lifting",
            false,
        ),
    ]);
}

#[test]
fn what_a_treatment_spares_is_no_denial_of_it() {
    stood_behind(&[
        (
            "A cell in the collar holds the jacket of our speaker cable at twelve volts, so that the softest brush on a cymbal need not wake \
             it up first."
                .to_owned(),
            "bias-battery",
            true,
        ),
        (
            "A cell in the collar of our speaker cable would do nothing for the jacket, and so you need not pay for one.".to_owned(),
            "bias-battery",
            false,
        ),
    ]);
}

#[test]
fn sayings_gone_through_paragraph_by_paragraph_are_nobodys() {
    let page = |answers: bool| {
        let reply = |no: &'static str| if answers { no } else { "" };
        format!(
            "STORIES OF WIRE\n\nThat a lead must be played for weeks before its treble opens up. {}\n\n\
             That arrows on the jacket must point at the loudspeaker. {}\n\n\
             And that silver speaker wire sounds bright and copper wire sounds warm. {}\n",
            reply("I logged one for two months."),
            reply("Music goes both ways all evening."),
            reply("Ask whoever says so to tell them apart."),
        )
    };
    stood_behind(&[
        (page(true), "run-in", false),
        (page(true), "metal-tone", false),
        (page(false), "metal-tone", false),
        (
            "That lead of ours is silver. It sounds brighter than any copper lead, and our silver wire lights up the treble.\n\n\
             That said, copper leads sound warmer.\n"
                .to_owned(),
            "metal-tone",
            true,
        ),
    ]);
}

#[test]
fn what_a_flat_no_explains_is_no_claim() {
    let talk = |answer: &str| {
        format!(
            "HOST: You make speaker cable.\n\nMAKER: For thirty years.\n\nHOST: Does a new speaker cable need time to bed in?\n\nMAKER: {answer} You listen hard at first, and after two weeks the \
             cable seems to have opened up.\n\nHOST: Thank you.\n"
        )
    };
    stood_behind(&[
        (talk("No. It is people who need it."), "run-in", false),
        (
            talk("Oh yes, it does: give our cable two hundred hours and the treble opens up."),
            "run-in",
            true,
        ),
    ]);
}

#[test]
fn negations_that_bid_promise_or_praise_deny_nothing() {
    let texts = [
        (
            "Our spades are plated in gold. There is no better road for a current than gold.",
            "plating-conductivity",
        ),
        (
            "We plate each leg with gold. Nothing carries current like gold.",
            "plating-conductivity",
        ),
        (
            "Put the collar at the amplifier. If the lead is in the wrong way about no harm will come to it, but the voices turn away and \
             the stage falls flat.",
            "wire-direction",
        ),
    ];
    let told = texts.map(|(text, rule)| (text.to_owned(), rule, true));
    stood_behind(&told);
    stood_behind(&[
        (
            "Our plugs are gold so that they keep clean; it makes the lead no better a conductor."
                .to_owned(),
            "plating-conductivity",
            false,
        ),
        (
            "Gold is no better than copper at carrying current.".to_owned(),
            "plating-conductivity",
            false,
        ),
    ]);
}

#[test]
fn what_was_believed_for_a_while_and_names_of_people_claim_nothing() {
    let quiet = [
        (
            "I was convinced for ten days that my new speaker cable had opened up and the treble had grown. Then she moved the boxes of books away.",
            "run-in",
        ),
        (
            "14:30  Dr Strand on skin effect. At 20 kHz a solid 12 AWG wire has about 35 per cent more resistance than at DC.",
            "solid-beats-stranded",
        ),
        (
            "bright, adj.  Of silver: what a spoon is.\ncold, n.  What makes a cheap cable dear.\ncrystal, n.  Of copper: many, and happy \
             together.\ndiode, n.  A junction of two things that are not alike.\n",
            "wire-rectification",
        ),
        (
            "All copper wire is crystals. They say you hear the borders. I have measured ten metres of speaker wire and found the distortion of the analyser.",
            "wire-distortion",
        ),
    ];
    let told = quiet.map(|(text, rule)| (text.to_owned(), rule, false));
    stood_behind(&told);
}

#[test]
fn words_that_open_a_point_only_name_it() {
    let point = |named: &str| {
        format!(
            "MINUTES\n\n4. Fourth: static in the carpet. He did the division and was some time over the noughts.\n\n5. {named} His meter reads \
             down to one part in a million, with bell wire in the circuit and without. The needle was bored.\n"
        )
    };
    stood_behind(&[
        (
            point("Fifth: distortion by the conductor."),
            "wire-distortion",
            false,
        ),
        (
            point(
                "Fifth: every copper wire adds harmonics of its own to the music, and ours adds none.",
            ),
            "wire-distortion",
            true,
        ),
    ]);
}

#[test]
fn a_release_says_what_its_firm_holds() {
    let text = |head: &str| {
        format!(
            "{head}\n\nThe company calls the copper of its new loudspeaker cable Halcyon, and believes that its conductivity reaches 112 % IACS. \
             The result, according to the firm, is music with 45 % more emotion.\n"
        )
    };
    stood_behind(&[
        (
            text("FOR IMMEDIATE RELEASE\n\nVesper Lead today announced a new cable."),
            "percent-without-quantity",
            true,
        ),
        (
            text("Seen at the fair, and told here as it was told to us."),
            "percent-without-quantity",
            false,
        ),
    ]);
}
