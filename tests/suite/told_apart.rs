//! Facts of cables in offers, catalogues, tables with notes and conversations: of each cable what is its own, and nothing else.

use super::told::of_each;

/// Texts with what each cable that they name has: part of its name, lengths in m, sizes in mm² to a thousandth.
type Wanted = (&'static str, &'static [f64], &'static [f64]);

fn holds(text: &str, wanted: &[Wanted]) {
    let told = of_each(text);
    for (name, lengths, sizes) in wanted {
        let own = told.iter().find(|cable| cable.0.contains(name));
        assert_eq!(
            own.map(|cable| (cable.1.as_slice(), cable.2.as_slice())),
            Some((*lengths, *sizes)),
            "{name} of {told:?}: {text}"
        );
    }
}

/// Areas by ASTM B258: 12 AWG 3.309 mm², 14 AWG 2.081 mm², 10 AWG 5.261 mm², 16 AWG 1.309 mm².
#[test]
fn a_ditto_mark_stands_for_the_value_before_it() {
    holds(
        "cable      AWG   length\nTarn       12    4 m\nBeck       \"     6 m\nCombe      16    \"\n",
        &[
            ("Tarn", &[4.0], &[3.309]),
            ("Beck", &[6.0], &[3.309]),
            ("Combe", &[6.0], &[1.309]),
        ],
    );
    holds(
        "            Tarn     Beck     Combe\nsize        2.5 mm²  ditto    4 mm²\nlength      3 m      5 m      ditto\n",
        &[
            ("Tarn", &[3.0], &[2.5]),
            ("Beck", &[5.0], &[2.5]),
            ("Combe", &[5.0], &[4.0]),
        ],
    );
}

#[test]
fn who_is_left_out_of_all_has_none_of_it() {
    let text = "Three cables were compared: Tarn, Beck and Combe. Tarn is 2.5 mm², Beck is 4 mm², Combe is 6 mm². \
        All three are 5 m long, except the Combe, which is 8 m. The Beck sounded best.";
    holds(
        text,
        &[
            ("Tarn", &[5.0], &[2.5]),
            ("Beck", &[5.0], &[4.0]),
            ("Combe", &[8.0], &[6.0]),
        ],
    );
    let text = "Three cables were compared: Tarn, Beck and Combe. Each, apart from the Beck, is 12 gauge. \
        The Beck sounded best.";
    holds(
        text,
        &[
            ("Tarn", &[], &[3.309]),
            ("Beck", &[], &[]),
            ("Combe", &[], &[3.309]),
        ],
    );
}

#[test]
fn a_footnote_speaks_of_the_value_that_bears_its_mark() {
    let table = "Cable    Size       Length\nTarn     12 AWG *   5 m\nBeck     14 AWG     3 m\nCombe    16 AWG     2 m\n\n";
    // What is called wrong is nobody's, and what is right is the cable's.
    holds(
        &format!("{table}* A misprint, for which we apologise: it is made in 10 AWG.\n"),
        &[
            ("Tarn", &[5.0], &[5.261]),
            ("Beck", &[3.0], &[2.081]),
            ("Combe", &[2.0], &[1.309]),
        ],
    );
    // Where it only says otherwise, neither can be sure.
    holds(
        &format!("{table}* The label says so. The gauge on our bench said 10 AWG.\n"),
        &[("Tarn", &[5.0], &[]), ("Beck", &[3.0], &[2.081])],
    );
    // One may choose, and the table stays right.
    holds(
        &format!("{table}* Or 10 AWG, to order.\n"),
        &[("Tarn", &[5.0], &[3.309]), ("Beck", &[3.0], &[2.081])],
    );
}

#[test]
fn types_are_told_apart_by_the_codes_of_their_headings() {
    let text = "Type TW 215\n  Section: 2 x 1.5 mm²\n  Conductor: copper\n  Supply: ring of 100 m\n\n\
        Type TW 240\n  As TW 215, however:\n  Section: 2 x 4 mm²\n\n\
        Type TW 240 S\n  Made up from TW 240, with plugs\n  Length: 6 m\n  Supply: 4 pieces\n";
    holds(
        text,
        &[("TW 215", &[], &[1.5]), ("TW 240 S", &[6.0], &[4.0])],
    );
    let text = "3.01  Loudspeaker cable type RD-1\n      2 x 2.5 mm², bare copper\n      Quantity: 300 m\n\n\
        3.02  Loudspeaker cable type RD-2\n      2 x 4 mm², tinned copper\n      Quantity: 120 m\n";
    holds(text, &[("RD-1", &[], &[2.5]), ("RD-2", &[], &[4.0])]);
}

#[test]
fn a_value_that_is_taken_back_is_nobodys() {
    let text = "The Tarn is 14 AWG, says the bag. The Beck is 16 AWG.\n\nSorry, I cannot read: the Tarn is not 14 but 12 AWG.";
    holds(text, &[("Tarn", &[], &[3.309]), ("Beck", &[], &[1.309])]);
}
