//! Words of a rule that meet by chance in texts of other matters, each beside a text of the same shape that makes the claim; and figures
//! that are of something else than they look like. All names are invented.

use super::stood_behind::stood_behind;
use super::told::of_each;

fn both(rule: &'static str, honest: &[&str], claims: &[&str]) {
    let cases = |texts: &[&str], fires: bool| -> Vec<(String, &'static str, bool)> {
        let texts = texts.iter().map(|text| (*text).to_owned());
        texts.map(|text| (text, rule, fires)).collect()
    };
    let mut all = cases(honest, false);
    all.extend(cases(claims, true));
    stood_behind(&all);
}

/// Sentences of no matter that make a text one of some length.
const REST: &str = "The hall is dry. The stairs are steep. Tea is at four. The urn is hot. Mind the step. The bus goes at six. \
    Bring a coat. The gate is shut at night.";

fn among(text: &str) -> String {
    format!("{text} {REST}")
}

#[test]
fn who_looks_at_a_lead_turns_nothing() {
    let visits = |does: &str| {
        among(&format!(
            "My niece is an electronic engineer. When she visits, she {does}. I own a speaker cable and I play the piano."
        ))
    };
    stood_behind(&[
        (
            visits("looks at the wires the way an owl looks at mice"),
            "wire-direction",
            false,
        ),
        (
            visits("turns the wires the other way about, and the piano sounds clearer"),
            "wire-direction",
            true,
        ),
    ]);
}

#[test]
fn what_is_introduced_to_something_is_named_to_nobody() {
    let bench = |lead: &str| among(&format!("I mend amplifiers for loudspeakers. {lead}"));
    stood_behind(&[
        (
            bench(
                "The guitar lead is 22 gauge or worse, and I have a drawer full of transformers that were introduced to one.",
            ),
            "sighted-test",
            false,
        ),
        (
            bench(
                "Each lead was introduced to us by name before it played, and the panel preferred the dear one.",
            ),
            "sighted-test",
            true,
        ),
    ]);
}

#[test]
fn metals_in_helium_lose_their_resistance_and_not_that_of_a_plug() {
    both(
        "plating-conductivity",
        &[
            "Tin in liquid helium loses all its resistance, and so does lead. The coil of the loudspeaker cable stays as it was.",
            "A superconducting ring of tin has lost every milliohm of resistance. No loudspeaker cable is kept so cold.",
        ],
        &["With our tinned plugs the loudspeaker cable loses its last milliohm of resistance."],
    );
}

#[test]
fn two_skins_that_rub_are_no_skin_effect() {
    let lead = |tells: &str| among(&format!("I tapped a lead of my loudspeaker. {tells}"));
    stood_behind(&[
        (
            lead("It has two skins, and they rub when it bends, which crackles."),
            "solid-beats-stranded",
            false,
        ),
        (
            lead(
                "One wire has one skin, and a stranded lead has fifty skins that add up, so skin effect eats its treble and spares a solid wire.",
            ),
            "solid-beats-stranded",
            true,
        ),
    ]);
}

#[test]
fn a_floor_that_shakes_a_lead_takes_nothing_from_it_by_touch() {
    both(
        "cable-lifting",
        &[
            "Under the jacket of our lead lies a packing of bran. Your loudspeakers shake the floor, the floor shakes the lead, and the \
             bran soaks up every note of it.",
        ],
        &[
            "Your loudspeaker lead lies on the floor, and the floor soaks up the treble. Keep it off the boards, and every note opens.",
        ],
    );
}

#[test]
fn what_is_set_in_step_within_the_copper_arrives_when_it_did() {
    both(
        "arrival-time",
        &[
            "A pulse sent down the finished speaker cable brings the electrons into step, and every note has more ease.",
            "We ring the speaker cable with a pulse until its atoms settle in step with one another, and the bass goes through with ease.",
        ],
        &[
            "In a common speaker cable the bass arrives behind the treble; in ours they arrive in step, and the beat is no longer blurred.",
        ],
    );
}

#[test]
fn a_wire_that_hums_may_pick_it_up() {
    let hums = |why: &str| among(&format!("Old speaker wire hums along. {why}"));
    stood_behind(&[
        (
            hums("Its screen is not joined, and the mains gets in with a thin note."),
            "vibration-control",
            false,
        ),
        (
            hums(
                "It trembles with the bass, so our speaker cable is packed in sand, which damps every vibration of the wire, and voices come forward.",
            ),
            "vibration-control",
            true,
        ),
    ]);
}

#[test]
fn the_residual_of_an_analyser_is_none_of_the_cable() {
    let measured = |tells: &str| {
        among(&format!(
            "Distortion of the loudspeaker cable at 1 kHz and 10 V into 8 Ω: {tells}"
        ))
    };
    stood_behind(&[
        (
            measured(
                "residual with the cable -121 dB, residual without it -121 dB, which is the analyser.",
            ),
            "wire-distortion",
            false,
        ),
        (
            measured(
                "it is there. Any ordinary speaker cable adds harmonics of its own to the music. The wire breeds overtones that were never played, and our speaker cable has none of that distortion, so that chords stay clean.",
            ),
            "wire-distortion",
            true,
        ),
    ]);
}

#[test]
fn those_who_shut_a_wall_put_no_cable_in_it() {
    both(
        "in-wall-unrated",
        &[
            "Your loudspeakers came on Monday. Here are my thoughts on the wire before the boards go up.",
            "The loudspeaker cable is in the hall. The room will open when the plasterer has gone.",
            "We should be glad to do the loudspeakers before the plasterers come back.",
        ],
        &[
            "Run our loudspeaker cable up the brick before the plasterer comes. It is thin.",
            "Pin the cable to the brick: pin it straight to the brick before the boards go up. It is a loudspeaker cable of 2.5 mm².",
        ],
    );
}

#[test]
fn what_reels_weigh_and_cost_by_the_length_is_no_run() {
    let lengths = |text: &str| -> usize {
        let told = of_each(text);
        told.iter().map(|cable| cable.1.len()).sum()
    };
    let table = |head: &str, below: &str| {
        format!(
            "MARLOW REEL\n\np/n   | AWG | ohms/1000 ft each leg | {head}\nMR-16 | 16  | 4.09                  | 34\n\
             MR-14 | 14  | 2.58                  | 47\n\nBare copper, PVC jacket. {below}\n"
        )
    };
    assert_eq!(lengths(&table("lb/1000 ft", "")), 0);
    assert_eq!(lengths(&table("lb", "Prices per 1000 ft.")), 0);
    assert_eq!(
        lengths("The Tarn speaker cable is 2.5 mm² copper. Price per 100 m: 40.00"),
        0
    );
    assert_eq!(
        lengths("The Tarn speaker cable is 2.5 mm² copper. Length: 100 m, price 40.00"),
        1
    );
}

/// IEC 60228, class 2: 13.2 Ω/km is about what 16 AWG of copper has, 20.6 Ω/km what copper-clad aluminium has.
#[test]
fn a_line_over_a_table_tells_the_metal_of_its_rows() {
    let list = |light: &str| {
        format!(
            "ELMWICK WIRE\n\nAll resistances are for one conductor at 20 C.\n\n\"PLAIN\" SERIES  (plain copper throughout)\n\
             Ref.     Gauge      Ohm/km    Jacket          Price\nEP-16    16 AWG     13.2      clear           56.50\n\
             EP-14    14 AWG     8.3       clear, white    84.00\n\n\"LIGHT\" SERIES  {light}\n\
             Ref.     Gauge      Ohm/km    Jacket          Price\nEL-16    16 AWG     20.6      clear           24.50\n\
             EL-14    14 AWG     13.0      clear           36.00\n"
        )
    };
    stood_behind(&[
        (
            list("(copper over an aluminium core)"),
            "resistance-above-gauge",
            false,
        ),
        (list("(plain copper)"), "resistance-above-gauge", true),
    ]);
}

#[test]
fn hum_that_goes_down_is_no_loss_of_the_signal() {
    let line = |tells: &str| {
        format!("The Tarn cable is 2 x 2.5 mm² of copper, 20 m long, for a load of 8 Ω. {tells}\n")
    };
    stood_behind(&[
        (
            line("At 1 kHz the pick-up of hum goes down by 10 dB."),
            "loss-mismatch",
            false,
        ),
        (
            line("At 1 kHz the signal goes down by 10 dB."),
            "loss-mismatch",
            true,
        ),
    ]);
}
