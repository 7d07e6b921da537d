//! Uses, rises of resistance and differences that a passage tells by itself, through the whole way of a document. All names are
//! invented. Loops by 2 · ρ · l / A with annealed copper (1/58 Ω·mm²/m); losses by 20 · log10(1 + R/R_L); rises of solid wires
//! from the table `tests/data/physics`.

use claimgauge::finding::Level;
use claimgauge::input::Source;
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Auditor, Limits};
use std::fmt::Write;

/// Text, rule, and whether it fires at its own level.
type Case = (&'static str, &'static str, bool);

fn wrong(cases: &[Case]) -> String {
    let book = Rulebook::builtin();
    let auditor = Auditor::new(&book, Limits::default());
    let mut wrong = String::new();
    for (text, rule, fires) in cases {
        let source = Source::decode("text", text.as_bytes()).expect("plain text");
        let audit = auditor.audit(&source);
        let told = (audit.findings.iter())
            .any(|finding| finding.rule == *rule && finding.level >= Some(Level::Warning));
        if told != *fires {
            let _ = writeln!(wrong, "{rule} (fires: {fires}):\n{text}\n");
        }
    }
    wrong
}

#[test]
fn the_entries_of_an_offer_add_up_to_uses() {
    // 30 m of 1 mm²: 1.03 Ω, 1.0 dB into 8 Ω. 4 m of 4 mm²: 0.034 Ω, 0.04 dB.
    let offer = |size: &str, run: &str| {
        let text = format!(
            "QUOTATION 88\nTallis Audio Works\n\n1) Veranda, two horns (8 Ω each)\n     {run} each way, flex {size} copper\n     supplied \
             and laid                    210.00\n\n2) Lobby, shelf loudspeakers (6 Ω)\n     3 m per side, flex 2 x 4 mm² copper\n     \
             supplied and laid                     80.00\n"
        );
        Box::leak(text.into_boxed_str()) as &'static str
    };
    let line = "QUOTATION 12\nTallis Audio Works\n\n1) Corridor horns (8 Ω inside, on a 100 V line)\n     60 m, flex 2 x 1.0 mm² copper\n     \
                supplied and laid                    210.00\n";
    let rated = "QUOTATION 40\nTallis Audio Works\n\n1) Veranda\n     two columns, 4 Ω, each good for 900 W\n     3 m per side, flex 2 x \
                 1.5 mm² copper, clipped\n     supplied and laid                    210.00\n";
    // 900 W into 4 Ω: 15 A, 10 A/mm² in 1.5 mm² and 20 A/mm² in 0.75 mm².
    let given = "QUOTATION 41\nTallis Audio Works\n\n1) Veranda\n     two columns, 4 Ω\n     3 m per side, flex 2 x 0.75 mm² copper, \
                 clipped\n     each column gets 900 W, which the amplifier delivers all evening\n";
    let wrong = wrong(&[
        (offer("2 x 1.0 mm²", "30 m"), "loss-over-budget", true),
        (offer("2 x 1.0 mm²", "30 m"), "damping-under-guide", true),
        (offer("2 x 4 mm²", "4 m"), "loss-over-budget", false),
        (line, "loss-over-budget", false),
        (rated, "overheating", false),
        (given, "overheating", true),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn an_answer_offers_what_the_question_measures() {
    // 25 m of 1 mm²: 0.86 Ω, 1.7 dB into 4 Ω.
    let advised = "From Ines\nThe shed is 25 m from the amplifier and the loudspeakers in it are 4 Ω. Which flex do I buy?\n\nFrom Rolf\nGet a \
                   drum of 1.0 mm² copper flex and be done, you needn't worry.\n";
    let warned = "From Ines\nThe shed is 25 m from the amplifier and the loudspeakers in it are 4 Ω. Would 1.0 mm² do?\n\nFrom Rolf\nNo, 1.0 mm² \
                  copper is too thin for that. You want something thicker.\n";
    let other = "From Ines\nThe shed is 25 m from the amplifier and the loudspeakers in it are 4 Ω. Which flex do I buy?\n\nFrom Rolf\nA drum of \
                 1.0 mm² copper flex would not do for that run. Use 6 mm² or go nearer.\n";
    let wrong = wrong(&[
        (advised, "loss-over-budget", true),
        (warned, "loss-over-budget", false),
        (other, "loss-over-budget", false),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_cable_is_used_where_its_own_entry_says() {
    // 20 AWG is 0.518 mm²: 320 W into 5 Ω are 8 A, 15 A/mm². 14 AWG has 2.08 mm².
    let record = |size: &str| {
        let text = format!(
            "sku=TW-1|name=Tallis Reed|family=loudspeaker\n  metal=copper|size={size}\n  rated_power=320 W|rated_load=5 Ω\n  \
             reel=100 ft\n\nsku=TW-2|name=Tallis Oak|family=loudspeaker\n  metal=copper|size=10 AWG\n  rated_power=200 W|rated_load=8 \
             Ω\n  reel=100 ft\n"
        );
        Box::leak(text.into_boxed_str()) as &'static str
    };
    // 24 AWG: 0.168 Ω a metre of pair, 0.5 Ω over 3 m.
    let sold = "THE WISP\nOne solid copper wire of 24 AWG to each pole. We supply the Wisp in pairs of 3 m for loudspeakers of 8 Ω.";
    let stored = "THE WISP\nOne solid copper wire of 24 AWG to each pole. We supply the Wisp on reels of 300 m. It was measured with 8 Ω.";
    let wrong = wrong(&[
        (record("20 AWG"), "overheating", true),
        (record("14 AWG"), "overheating", false),
        (sold, "loss-over-budget", true),
        (stored, "loss-over-budget", false),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_rise_of_resistance_is_held_against_the_wire_of_its_passage() {
    // Solid copper at 20 kHz: 12 AWG rises by 35 %, 14 AWG by 17 %.
    let wrong = wrong(&[
        (
            "Our own lead is 22 AWG. Now take a solid copper wire of 14 AWG. At 20 kHz its resistance is 80 % higher than for direct current.",
            "skin-effect-mismatch",
            true,
        ),
        (
            "Our own lead is 22 AWG. Now take a solid copper wire of 14 AWG. At 20 kHz its resistance is 17 % higher than for direct current.",
            "skin-effect-mismatch",
            false,
        ),
        (
            "A solid 12 AWG copper wire has three times the resistance at 20 kHz that it has on a battery.",
            "skin-effect-mismatch",
            true,
        ),
        (
            "Has a solid 12 AWG copper wire three times the resistance at 20 kHz that it has on a battery?",
            "skin-effect-mismatch",
            false,
        ),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_difference_is_held_against_all_that_the_thinnest_cable_loses() {
    // 3 m of 14 AWG: 0.05 Ω, 0.054 dB into 8 Ω at 0 Hz.
    let equal = "Two pairs of leads hung there, both of 14 AWG copper, both 3 m. Same amplifier, same 8 ohm loudspeaker. With the waxed pair \
                 the needle went up by 2 dB. It is the wax.";
    // 25 m of 0.5 mm²: 1.72 Ω, 3.1 dB into 4 Ω.
    let thin = "Two pairs of leads hung there, both of 0.5 mm² copper, one 25 m and one 2 m. Same amplifier, same 4 ohm loudspeaker. With the \
                waxed pair the needle went up by 2.5 dB.";
    let wrong = wrong(&[
        (equal, "outcome-exceeds-physics", true),
        (thin, "outcome-exceeds-physics", false),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn conductors_are_counted_for_each_pole() {
    // Two 16 AWG make 13 AWG, four make 10.
    let wrong = wrong(&[
        (
            "Four cores of 16 AWG copper, two of them to each pole. Together that makes a full 9 AWG.",
            "bundle-gauge-mismatch",
            true,
        ),
        (
            "Four cores of 16 AWG copper, two of them to each pole. Together that makes a full 13 AWG.",
            "bundle-gauge-mismatch",
            false,
        ),
        (
            "Eight insulated wires of 16 AWG are laid up here. Four of these side by side give you a 6 AWG equivalent on each pole.",
            "bundle-gauge-mismatch",
            true,
        ),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn advertisements_of_two_people_are_no_comparison() {
    let page = |first: &str, second: &str| {
        let others = "FOR SALE. A record shelf, oak.\n\nWANTED. Needle for an old deck.\n\nFOR SALE. Stool, one leg new.\n\n\
             LOST. Grey cat, answers to Decca.\n\nWANTED. Help with a shed.\n\nFOR SALE. Two bells.\n\nFOUND. A glove.\n\n";
        let text = format!("THE SWAP SHEET\n\n{first}\n\n{others}{second}\n");
        Box::leak(text.into_boxed_str()) as &'static str
    };
    let cases = [(
        page(
            "FOR SALE. Reel of the Keddle twin, 12 AWG copper, 180 ft.",
            "FOR SALE. My \"Plumb\" pair, 2.5 mm² copper, 4 m. Put it in last year and the voices opened up no end, it is the plait.",
        ),
        "unequal-gauge",
        false,
    )];
    let wrong = wrong(&cases);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_resistance_that_fits_its_size_as_one_conductor_is_no_loop() {
    // 10 AWG: 3.28 mΩ/m for one conductor, 0.0197 Ω in a loop of 3 m: 8 Ω / 0.0197 Ω = 407.
    let sheet = |factor: &str| {
        let text = format!(
            "VELLOX THREE\nConductors: 2 x 10 AWG\nMetal: copper\nResistance: 3.3 mΩ/m\nThe Vellox Three, 3 m, into 8 Ω: \
             damping factor at the loudspeaker {factor}.\n"
        );
        Box::leak(text.into_boxed_str()) as &'static str
    };
    let cases = [
        (sheet("620"), "damping-mismatch", true),
        (sheet("400"), "damping-mismatch", false),
    ];
    let wrong = wrong(&cases);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_letter_that_proposes_one_cable_offers_its_use() {
    // 30 m of 1.5 mm²: 0.69 Ω, 1.4 dB into 4 Ω. 6 m of 4 mm²: 0.05 Ω, 0.11 dB.
    let letter = |size: &str, run: &str| {
        let text = format!(
            "Dear Wardens,\n\nwe are pleased to quote for the two columns (4 Ω each).\n\n1   Cable. We propose our Osterby twin, \
             {size} of copper.\n\n2   Run. From the cupboard to each column it is {run} one way.\n"
        );
        Box::leak(text.into_boxed_str()) as &'static str
    };
    let cases = [
        (letter("1.5 mm²", "30 m"), "loss-over-budget", true),
        (letter("4 mm²", "6 m"), "loss-over-budget", false),
    ];
    let wrong = wrong(&cases);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn words_that_meet_by_chance_weigh_too_little() {
    let chance = "What to buy: two-core copper cable with one core marked. We wrote this because the phone rings about it. Measure along \
        the wall. Add half a metre at each end.\n\nRed to red, black to black, both speakers the same. If one is crossed over, the bass goes \
        thin and singers float about behind your head. No harm done; swap two wires and it's cured. That is the only \"which way\" there \
        is. You can run it from either end of the reel.\n\nBare wire is fine. Plugs make life easier.\n";
    let told = "The club met on Monday at the usual place. We had tea first. A speaker cable was passed round and admired. In a bundle of bare \
        strands the current keeps hopping from strand to strand, and every hop smears the note. Nobody minded. The chairman thanked the \
        speaker. We shall meet again in March. Bring a cup. There was cake.\n";
    let aside = "They were delivered on the coldest morning of the year. I let the boxes stand until they had stopped being unpleasant to touch. \
        Even so the first few evenings were stiff going: a bright, rather shut-in sort of balance. The drums seemed to happen in a cupboard. \
        By the weekend the loudspeakers had loosened. The cabinets are of oak. The grilles are grey. I connected them with a speaker cable \
        of 4 mm². My neighbour likes them too.\n";
    let wrong = wrong(&[
        (chance, "strand-jumping", false),
        (told, "strand-jumping", true),
        (aside, "run-in", false),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

/// 16 AWG has 4.02 Ω/1000 ft, 12 AWG 1.59 (ASTM B258 and annealed copper).
#[test]
fn what_bounds_a_figure_is_no_outcome() {
    let bound = "                 CL-12      CL-16\nsize             12 AWG     16 AWG\nlongest run (1)  25 ft      12 ft\n\n(1) Into 8 ohm loudspeakers, one \
        way. At these lengths the pair takes less than 0.2 dB at 20 kHz, and a longer one more.\n";
    let told = "Cable A is 12 AWG, cable B is 16 AWG, both 5 m of copper. Cable A was clearly louder in our test, thanks to its braid.\n";
    let wrong = wrong(&[
        (bound, "unequal-gauge", false),
        (bound, "outcome-exceeds-physics", false),
        (told, "unequal-gauge", true),
    ]);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn figures_answer_what_is_said_in_words() {
    // 22.0 / 20.7 = 1.063. Silver has some 106 % IACS.
    let share = "The silver wire of this loudspeaker cable has 20.7 mΩ/m and the copper wire of the same size 22.0 mΩ/m. It is six per \
                 cent better, and that is all.";
    let more = "The silver wire of this loudspeaker cable has 20.7 mΩ/m and the copper wire of the same size 22.0 mΩ/m. It is forty per \
                cent better on any record.";
    let silver = "The bar in the case is silver, from the old works. The loudspeaker wire was of it. A piece hangs here. It conducts \
                  seven per cent better than copper of the same section.";
    let purer = "The bar in the case is copper, from the old works. The loudspeaker wire was of it. A piece hangs here. It conducts \
                 seven per cent better than copper of the same section.";
    let plain = "The velocity is 60 % of that of light, or 5.6 ns per metre. The loudspeaker cable needs no care. Treble and bass come \
                 out of it together.";
    let late = "The delay of our loudspeaker cable is 5.6 ns per metre.\n\nMore is in the leaflet. It is free. Ask for it at the \
                counter.\n\nIn a thick cable the bass arrives later than the treble.";
    let cases: &[Case] = &[
        (share, "percent-without-quantity", false),
        (more, "percent-without-quantity", true),
        (silver, "conductivity-above-metal", false),
        (purer, "conductivity-above-metal", true),
        (plain, "arrival-time", false),
        (late, "arrival-time", true),
    ];
    assert_eq!(wrong(cases), "");
}

/// 14 AWG has 8.29 mΩ/m (ASTM B258, IEC 60028): 12 m of one pair come to 0.199 Ω, a damping factor of 40 into 8 Ω, under 50.
#[test]
fn what_hangs_on_four_cores_being_joined_is_not_confirmed() {
    let confirmed = |text: &str| {
        let book = Rulebook::builtin();
        let source = Source::decode("text", text.as_bytes()).expect("plain text");
        let auditor = Auditor::new(&book, Limits::default());
        let found = auditor.audit(&source);
        let mut all = found.confirmed.iter();
        all.any(|one| one.rule == "damping-under-guide")
    };
    assert!(!confirmed(
        "14/4 CL3 cable, 12 m to the patio, 8 ohm loudspeakers. We recommend it for that."
    ));
    assert!(confirmed(
        "10 AWG CL3 cable, 12 m to the patio, 8 ohm loudspeakers. We recommend it for that."
    ));
}
