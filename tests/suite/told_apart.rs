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

#[test]
fn groups_of_fields_with_the_same_keys_are_cables_of_their_own() {
    let text = "Stage boxes\n  Section .......... 2 x 4 mm²\n  Inductance ....... 0.62 µH/m\n\n\
        Studio\n  Section .......... 2 x 2.5 mm²\n  Length ........... 9 m\n\n\
        Gallery\n  Section .......... 2 x 1.5 mm²\n  Length ........... 6 m\n";
    let told = of_each(text);
    let sizes: Vec<&[f64]> = told.iter().map(|cable| cable.2.as_slice()).collect();
    assert_eq!(sizes, [&[4.0][..], &[2.5], &[1.5]], "{told:?}");
    let lengths: Vec<&[f64]> = told.iter().map(|cable| cable.1.as_slice()).collect();
    assert_eq!(lengths, [&[][..], &[9.0], &[6.0]], "{told:?}");
}

#[test]
fn articles_of_a_list_are_told_apart_by_their_codes() {
    let text = "FL-12  THE WREN. Flat twin of 1.5 mm², copper.      1.10\n       For the kitchen.\n\n\
        FL-14  THE ROBIN. Flat twin of 2.5 mm², copper.     1.85\n       One leg has a red thread.\n\n\
        FL-16  THE LARK. Twin of 4 mm², tinned, class 5.    3.30\n       At most 5.09 Ω/km a core.\n";
    holds(
        text,
        &[
            ("FL-12", &[], &[1.5]),
            ("FL-14", &[], &[2.5]),
            ("FL-16", &[], &[4.0]),
        ],
    );
}

#[test]
fn a_row_of_an_order_may_be_called_by_its_position() {
    let text = "Pos   Article   Description                     Qty\n\
        010   LD-25     Speaker lead, 2 x 2.5 mm², 3 m   12 pc\n\
        020   LD-60     Speaker lead, 2 x 6 mm², 8 m      2 pc\n\n\
        Pos 020: not 8 m, as keyed in above, but 10 m.\n";
    holds(
        text,
        &[("LD-25", &[3.0], &[2.5]), ("LD-60", &[10.0], &[6.0])],
    );
}

#[test]
fn of_more_cores_one_may_go_each_way() {
    use crate::records::facts;
    let text = "type      cores            colour\nTB-25     4 x 2.5 mm²      black\nTB-40     4 x 4 mm²        red\n\n\
        TB-40 is wired with one core each way.\n";
    let told = facts(text);
    let parallel = |name: &str| {
        let cable = told.cables.iter().find(|cable| cable.name == name);
        cable.map(|cable| cable.parallel.map(|count| count.value))
    };
    assert_eq!(parallel("TB-25"), Some(Some(2)));
    assert_eq!(parallel("TB-40"), Some(Some(1)));
}

#[test]
fn a_chart_of_runs_is_of_the_sizes_at_its_rows() {
    let text = "HOW FAR CAN IT GO? Stranded copper, one way.\n\n\
        wire         8 ohm speakers   4 ohm speakers\n\
        12 gauge     12 m             6 m\n\
        14 gauge     9 m              5 m\n\
        16 gauge     6 m              3 m\n";
    holds(
        text,
        &[
            ("12 gauge", &[12.0, 6.0], &[3.309]),
            ("14 gauge", &[9.0, 5.0], &[2.081]),
            ("16 gauge", &[6.0, 3.0], &[1.309]),
        ],
    );
}

#[test]
fn a_symbol_with_its_value_is_no_cable() {
    let text = "SPECIMEN A      two cores, 2.5 mm²\n   R  14.1 mΩ/m      L  0.62 µH/m      C  62 pF/m\n\n\
        SPECIMEN B      two cores, 4 mm²\n   R  8.9 mΩ/m       L  0.28 µH/m      C  160 pF/m\n";
    let told = of_each(text);
    let names: Vec<&str> = told.iter().map(|cable| cable.0.as_str()).collect();
    assert_eq!(names, ["specimen A", "specimen B"], "{told:?}");
}

#[test]
fn numbers_of_articles_are_no_gauges() {
    let text =
        "No. 2  BRAID, each core 14 AWG copper. 3 m.\nNo. 3  ROPE, each core 12 AWG copper. 5 m.\n";
    let told = of_each(text);
    let sizes: Vec<f64> = told.iter().flat_map(|cable| cable.2.clone()).collect();
    assert_eq!(sizes, [2.081, 3.309], "{told:?}");
}

/// Areas by ASTM B258.
#[test]
fn a_list_of_cables_and_one_of_values_go_in_order() {
    holds(
        "Cables compared: A, B and C are 12, 14 and 16 AWG. All three are copper and 3 m long.",
        &[
            ("A", &[3.0], &[3.309]),
            ("B", &[3.0], &[2.081]),
            ("C", &[3.0], &[1.309]),
        ],
    );
    holds(
        "We bought the Hessle and the Tolby loudspeaker cable. The Hessle and the Tolby are 3 m and 5 m long. \
        The Hessle and the Tolby are 2.5 and 4 mm².",
        &[("Hessle", &[3.0], &[2.5]), ("Tolby", &[5.0], &[4.0])],
    );
    // What both come in is of both.
    holds(
        "We bought the Hessle and the Tolby loudspeaker cable. The Hessle and the Tolby come in 3 m and 5 m.",
        &[("Hessle", &[3.0, 5.0], &[]), ("Tolby", &[3.0, 5.0], &[])],
    );
}

#[test]
fn ours_in_one_sentence_and_theirs_in_the_next() {
    holds(
        "We laid both cables across the hall. Ours was 3 m long. Theirs was 6 m long.",
        &[("ours", &[3.0], &[]), ("rival", &[6.0], &[])],
    );
    holds(
        "Ours was 2.5 mm² copper. Theirs was 4 mm². Both speaker cables were 3 m long.",
        &[("ours", &[3.0], &[2.5]), ("rival", &[3.0], &[4.0])],
    );
}

#[test]
fn each_behind_a_list_of_cables_is_each_of_them() {
    holds(
        "Cable A is 12 AWG, cable B is 16 AWG, each 5 m. Cable A sounded better.",
        &[("cable A", &[5.0], &[3.309]), ("cable B", &[5.0], &[1.309])],
    );
}

#[test]
fn three_without_names_are_told_by_their_order() {
    holds(
        "Three loudspeaker cables lay on the table. The first is 12 AWG, the second is 14 AWG and the last is 16 AWG. \
        All are 3 m long.",
        &[
            ("the first", &[3.0], &[3.309]),
            ("the second", &[3.0], &[2.081]),
            ("the last", &[3.0], &[1.309]),
        ],
    );
}

#[test]
fn all_of_one_metal_says_nothing_of_the_other_cable() {
    // Areas by ASTM B258: 12 AWG 3.309 mm², 14 AWG 2.081 mm².
    let heard = "\n\nEveryone heard both in turn, and all preferred lead one. It is the plait that does it.\n";
    for all in ["all silver", "All silver", "all copper", "all-copper"] {
        let text = format!(
            "Lead one: Lindqvarn Nine, {all}, 12 AWG, 4 m.\nLead two: flat twin, copper, 14 AWG, 5 m.{heard}"
        );
        holds(
            &text,
            &[
                ("lead one", &[4.0], &[3.309]),
                ("lead two", &[5.0], &[2.081]),
            ],
        );
    }
    // Where “all” means the cables, it does.
    holds(
        &format!(
            "Lead one: a braid.\nLead two: a twin.\n\nAll are copper, 12 AWG, and 4 m long.{heard}"
        ),
        &[
            ("lead one", &[4.0], &[3.309]),
            ("lead two", &[4.0], &[3.309]),
        ],
    );
}

#[test]
fn the_key_of_a_record_is_a_place_and_what_follows_a_name() {
    let records = |first: &str, second: &str| {
        format!(
            "What we set up\n\n  {first}    Skelby Household, a grey figure-eight, with the\n               details on a card, copper, 2.5 mm², 9 m a side.\n\n  \
             {second}   Torrin Nine, woven, in a snakeskin of blue nylon,\n               copper, 4 mm², 3 m a side.\n\n\
             With the Household on, it sounded flat. With the Torrin it was far better. That is the weave.\n"
        )
    };
    for (first, second) in [
        ("First set", "Second set"),
        ("Left rig ", "Right rig "),
        ("Near side", "Far side  "),
    ] {
        holds(
            &records(first, second),
            &[("Skelby", &[9.0], &[2.5]), ("Torrin", &[3.0], &[4.0])],
        );
    }
}

/// “My Alders” are the Alder, and no third beside it.
#[test]
fn names_in_the_plural_are_those_of_the_same_cable() {
    let text = "Larch against Alder. My Larches are the plaited sort, 3 m of 2.5 mm² copper. The Alders are plain twin and are 8 m; \
        2.5 mm² copper as well. The Larch was better than the Alder every time.";
    holds(
        text,
        &[("Larch", &[3.0], &[2.5]), ("Alder", &[8.0], &[2.5])],
    );
    let told = of_each(text);
    let told = told.iter().filter(|cable| !cable.1.is_empty());
    assert_eq!(told.count(), 2);
    // Who begins with the plural says it of one as well.
    let text = "My Alders are 8 m of 2.5 mm² copper. I set the Alder against the Larch, 3 m of 4 mm² copper. The Alder was better.";
    let told = of_each(text);
    let mut told = told.iter().filter(|cable| !cable.1.is_empty());
    assert!(told.any(|cable| cable.0 == "Alder" && cable.1 == [8.0] && cable.2 == [2.5]));
}
