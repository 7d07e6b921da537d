//! Whose a fact is, and which side came out better, in single sentences. All names are invented; areas by the formula of ASTM B258.

use crate::records::facts;
use claimgauge::facts::{Facts, Reading};
use claimgauge::sheet::Bound;

/// Area in mm² of 12, 14, 16 and 18 AWG.
const AWG_12: f64 = 3.309;
const AWG_14: f64 = 2.081;
const AWG_16: f64 = 1.309;
const AWG_18: f64 = 0.823;

/// The sizes, in mm², and lengths, in m, of the cable whose name holds `name`, or of the first without a name.
fn told(facts: &Facts, name: &str) -> (Vec<f64>, Vec<f64>) {
    let cable = facts.cables.iter().find(|cable| cable.name.contains(name));
    let Some(cable) = cable else {
        return (Vec::new(), Vec::new());
    };
    let sizes = cable.sizes.iter().map(|size| size.area.0 * 1e6).collect();
    let lengths = cable.lengths.iter().map(|length| length.value.0).collect();
    (sizes, lengths)
}

fn alike(own: &[f64], wanted: &[f64]) -> bool {
    own.len() == wanted.len()
        && own
            .iter()
            .zip(wanted)
            .all(|(own, wanted)| (own / wanted - 1.0).abs() < 0.002)
}

#[test]
fn sizes_and_lengths_belong_to_the_cable_that_they_are_told_of() {
    // Text, a part of the name, its sizes, its lengths.
    type Case = (&'static str, &'static str, &'static [f64], &'static [f64]);
    let black = "The black lead is 2.5 mm² and the white lead 1.5 mm². The black one is 3 m long; the white one 6 m.";
    let sides = "Left: Calder, 12 AWG, 3 m. Right: Dunmore, 16 AWG, 6 m. The Calder was louder.";
    let now = "What was on there before: one lead of 16 AWG, 4 m. What's on there now: one of 12 AWG, 4 m. It was louder.";
    let thin = "There was ten metres of flex, 2 x 0.75 mm², and the same ten metres of 2 x 4 mm².\n\nThe thin one lost 0.49 dB \
                and the thick one 0.10 dB. The thick one won.";
    let entries = "We sell the Calder 12, two legs of 12 AWG copper, 5 m. The Calder 16 is two legs of 16 AWG copper, 4 m.";
    let quoted = "Our smaller type is the \u{201C}Elder\u{201D}, 16 AWG. Our larger type, \u{201C}Calder\u{201D}, is plain copper, 12 AWG, 3 m.";
    let equal = "The Dunmore is 14 AWG and 3 m long. The third one is the Calder. It is 12 AWG, and 4 m as the Dunmore is. \
                 The Calder was preferred to the Dunmore.";
    let friend = "I own the Calder, 12 AWG, 4 m. My friend has 2.5 mm² flex of 6 m.";
    let introduced = "Dunmore is a flat twin. Calder is a loose twist. Elder is the dear one.\n\nThe Dunmore was 3 m, the Calder 5 m \
                      and the Elder 4 m. Elder won.";
    let cases: &[Case] = &[
        (sides, "Calder", &[AWG_12], &[3.0]),
        (sides, "Dunmore", &[AWG_16], &[6.0]),
        (now, "rival", &[AWG_16], &[4.0]),
        (now, "ours", &[AWG_12], &[4.0]),
        (thin, "thin", &[0.75], &[10.0, 10.0]),
        (thin, "thick", &[4.0], &[10.0, 10.0]),
        (entries, "Calder 12", &[AWG_12], &[5.0]),
        (entries, "Calder 16", &[AWG_16], &[4.0]),
        (quoted, "Calder", &[AWG_12], &[3.0]),
        (quoted, "Elder", &[AWG_16], &[]),
        (friend, "Calder", &[AWG_12], &[4.0]),
        (introduced, "Calder", &[], &[5.0]),
        (introduced, "Elder", &[], &[4.0]),
        (equal, "Calder", &[AWG_12], &[4.0]),
        (black, "black", &[2.5], &[3.0]),
        (black, "white", &[1.5], &[6.0]),
        (
            "Calder No. 5 loudspeaker cable. The No. 5 has two cores of 2.5 mm² copper.",
            "",
            &[2.5],
            &[],
        ),
        (
            "The Calder is No. 12 copper, 5 m.",
            "Calder",
            &[AWG_12],
            &[5.0],
        ),
        (
            "Most people use 18 AWG. The Calder is 12 AWG copper, 3 m.",
            "Calder",
            &[AWG_12],
            &[3.0],
        ),
        (
            "The mains lead is 3 x 1.5 mm², the Calder 2 x 2.5 mm².",
            "Calder",
            &[2.5],
            &[],
        ),
        (
            "Minimum recommended gauge for 50 ft: 12 AWG. The Calder is 14 AWG.",
            "Calder",
            &[AWG_14],
            &[],
        ),
        (
            "The Calder is not 12 AWG but 14 AWG.",
            "Calder",
            &[AWG_14],
            &[],
        ),
        (
            "Is the Calder 12 AWG? No: 14 AWG.",
            "Calder",
            &[AWG_14],
            &[],
        ),
        (
            "The Calder used to be 14 AWG. Since 2020 it is 12 AWG.",
            "Calder",
            &[AWG_12],
            &[],
        ),
        (
            "The Calder and the Dunmore have 12 AWG and 16 AWG conductors, respectively.",
            "Calder",
            &[AWG_12],
            &[],
        ),
        (
            "The Calder and the Dunmore have 12 AWG and 16 AWG conductors, respectively.",
            "Dunmore",
            &[AWG_16],
            &[],
        ),
    ];
    for (text, name, sizes, lengths) in cases {
        let own = told(&facts(text), name);
        assert!(alike(&own.0, sizes), "sizes {:?} of {name}: {text}", own.0);
        assert!(
            alike(&own.1, lengths),
            "lengths {:?} of {name}: {text}",
            own.1
        );
    }
    let none = told(
        &facts("Most people use 18 AWG. The Calder is 12 AWG."),
        "Calder",
    );
    assert!(!none.0.iter().any(|area| (area / AWG_18 - 1.0).abs() < 0.01));
}

#[test]
fn the_better_side_is_told_by_verb_passive_and_words_for_the_worse() {
    let cases = [
        "The Calder, 12 AWG, outperformed the Dunmore, 16 AWG.",
        "The Calder, which is 12 AWG, beat the Dunmore, 16 AWG.",
        "The Calder (12 AWG), our reference, outperformed the Dunmore (16 AWG).",
        "The Dunmore, 16 AWG, was beaten by the Calder, 12 AWG.",
        "The Dunmore, 16 AWG, came second to the Calder, 12 AWG.",
        "The Dunmore, 16 AWG, could not match the Calder, 12 AWG.",
        "The Dunmore, 16 AWG, was less clear than the Calder, 12 AWG.",
        "The Dunmore is 16 AWG, the Calder 12 AWG. With the Dunmore the level was 0.4 dB lower than with the Calder.",
        "The Dunmore lamp gave half the light of the Calder lamp. The Calder is 12 AWG, the Dunmore 16 AWG.",
        "The lamp on the Dunmore was dimmer than the one on the Calder. The Calder is 12 AWG, the Dunmore 16 AWG. The maker credits the braid.",
    ];
    for text in cases {
        let facts = facts(text);
        let winner = facts.comparisons.iter().find_map(|comparison| {
            let winner = comparison.outcome.as_ref()?.winner?;
            let cable = comparison.sides.get(winner)?.cable;
            Some(facts.cables[cable].name.as_str())
        });
        assert_eq!(winner, Some("Calder"), "{text}");
    }
}

#[test]
fn a_limit_may_stand_behind_and_a_negation_turn_it() {
    let cases = [
        (
            "The Calder: 2.5 mm², not exceeding 7.98 Ω/km.",
            Bound::AtMost,
        ),
        ("The Calder: 2.5 mm², 7.98 Ω/km at most.", Bound::AtMost),
        (
            "The Calder has a damping factor better than 200 at 8 Ω.",
            Bound::AtLeast,
        ),
        (
            "The Calder has a damping factor in excess of 200 at 8 Ω.",
            Bound::AtLeast,
        ),
        (
            "The Calder has a damping factor of 200+ at 8 Ω.",
            Bound::AtLeast,
        ),
    ];
    for (text, bound) in cases {
        let facts = facts(text);
        let figure = facts.cables.iter().find_map(|cable| cable.figures.first());
        assert_eq!(figure.map(|figure| figure.bound), Some(bound), "{text}");
    }
}

#[test]
fn of_a_loop_and_its_half_the_half_is_one_conductor() {
    for text in [
        "The Calder has a loop resistance of 10.4 mΩ/m, single 5.2 mΩ/m.",
        "The Calder: 5.2 mΩ/m (10.4 mΩ/m loop).",
    ] {
        let facts = facts(text);
        let mut readings: Vec<(f64, Reading)> = facts
            .cables
            .iter()
            .flat_map(|cable| &cable.figures)
            .map(|figure| (figure.value, figure.reading))
            .collect();
        readings.sort_by(|a, b| a.0.total_cmp(&b.0));
        let readings: Vec<Reading> = readings.into_iter().map(|(_, reading)| reading).collect();
        assert_eq!(readings, [Reading::Single, Reading::Loop], "{text}");
    }
}

#[test]
fn resistances_of_other_things_are_no_figures_of_the_cable() {
    for text in [
        "Insulation resistance: > 20 MΩ/km\nConductor: 2.5 mm²\n",
        "The shield resistance is 15 mΩ/m; the core is 12 AWG copper.",
        "A lead of 2.5 mm² copper, 10 m, whose plugs have a contact resistance of 0.2 milliohms.",
    ] {
        let facts = facts(text);
        let figures: Vec<_> = facts
            .cables
            .iter()
            .flat_map(|cable| &cable.figures)
            .collect();
        assert!(figures.is_empty(), "{figures:?}: {text}");
    }
}

#[test]
fn a_table_goes_on_behind_blank_lines_and_below_second_heads() {
    let cable = |text: &str, name: &str| {
        let told = facts(text);
        let cable = told.cables.iter().find(|cable| cable.name.contains(name));
        let cable = cable.unwrap_or_else(|| panic!("no {name} in {text}"));
        let figures = cable.figures.iter();
        let figures: Vec<f64> = figures
            .map(|figure| (figure.value * 1e6).round() / 1e6)
            .collect();
        (told.cables.len(), figures)
    };
    // Heads that go on in a second line, one of them with a value.
    let heads = "PART     RUN      LOOP      DAMPING    LOSS AT\n         ONE WAY  OF RUN    FACTOR     1 kHz\n\
                 Calder   4.5 m    122 mΩ    65         0.13 dB\nDunmore  6 m      103 mΩ    77         0.11 dB\n";
    assert_eq!(cable(heads, "Dunmore"), (2, vec![0.103, 77.0, 0.11]));
    // Words over values, a blank line between, and a line that stands over values without a name in front.
    let goes_on = "                     Calder        Dunmore\nSize                 12 AWG        14 AWG\n\nPer metre\n  \
                   per conductor      5.31 mΩ/m     8.45 mΩ/m\n\nDamping factor, 5 m, 8 Ω, lead alone\n                     \
                   150           95\n";
    assert_eq!(cable(goes_on, "Calder"), (2, vec![0.00531, 150.0]));
    // Names in spaced letters over a blank line.
    let spaced = "        C A L D E R             D U N M O R E\n\n        2 x 12 AWG              2 x 14 AWG\n        \
                  0.6 µH/m                0.5 µH/m\n        50 pF/m                 55 pF/m\n";
    assert_eq!(cable(spaced, "DUNMORE").0, 2);
    // Loads at the head of columns are conditions, and no cables.
    let loads = "Cable: 2 x 4 mm², copper, 10 m\n\n                   8 Ω          4 Ω\nloss               0.11 dB      0.22 dB\n\
                 damping factor     80           40\n";
    assert_eq!(facts(loads).cables.len(), 1);
}

/// A name, and what is told of it: lengths in metres, areas in mm², figures in SI units.
pub(super) type Own = (String, Vec<f64>, Vec<f64>, Vec<f64>);

/// What is told of each cable that has a name.
pub(super) fn of_each(text: &str) -> Vec<Own> {
    let rounded = |value: f64| (value * 1e3).round() / 1e3;
    let told = facts(text);
    let cables = told.cables.iter().filter(|cable| !cable.name.is_empty());
    cables
        .map(|cable| {
            (
                cable.name.clone(),
                cable.lengths.iter().map(|length| length.value.0).collect(),
                (cable.sizes.iter())
                    .map(|size| rounded(size.area.0 * 1e6))
                    .collect(),
                (cable.figures.iter())
                    .map(|figure| rounded(figure.value))
                    .collect(),
            )
        })
        .collect()
}

// The areas are those of the AWG formula (ASTM B258): 12 AWG 3.309 mm², 14 AWG 2.081 mm², 16 AWG 1.309 mm².
#[test]
fn what_stands_in_parts_of_a_document_is_of_the_cables_of_that_part() {
    // Two names under a heading: "both" is said of those.
    let bouts = "FOUR DUELS\n\n## Skerry Loom vs Caddis Twin\nThe Loom is 12 AWG. The Caddis is 16 AWG. Both came 5 m long.\n\n\
                 ## Hestia Nocturne vs Pardew Stage\nBoth are 14 AWG. Nocturne was 3 m, Stage 12 m.\n";
    assert_eq!(
        of_each(bouts),
        [
            ("Skerry Loom".to_owned(), vec![5.0], vec![3.309], vec![]),
            ("Caddis Twin".to_owned(), vec![5.0], vec![1.309], vec![]),
            ("Hestia Nocturne".to_owned(), vec![3.0], vec![2.081], vec![]),
            ("Pardew Stage".to_owned(), vec![12.0], vec![2.081], vec![]),
        ]
    );
    // The letter of a unit calls nothing.
    let items = "Item A. 16 AWG, 15 m. Loop resistance 0.402 Ω at 20 °C.\n\nItem B. 12 AWG, 6 m.\n\nItem C. 14 AWG, 2 m.\n";
    let told = of_each(items);
    assert_eq!(told[0].3, [0.402], "{told:?}");
    assert!(told[2].3.is_empty(), "{told:?}");
    // Points of a list, each with a size and with fields below it.
    let points = "(i)  2.5 mm² twin, bare. 10 m.\n     Out and back: 0.1482 Ω\n\n(ii) 16 AWG twin. 10 m.\n     Out and back: 0.2688 Ω\n";
    let told = of_each(points);
    assert_eq!(told[0].2, [2.5], "{told:?}");
    assert_eq!(told[0].3, [0.148], "{told:?}");
    assert_eq!(told[1].3, [0.269], "{told:?}");
    // Positions of an offer.
    let offer = "POS. 6.1   Line to the horn\n  Offered ..... flex, 2 x 1.5 mm²\n  Length ...... 90 m\n\nPOS. 6.2   Lines in the hall\n  \
                 Offered ..... flex, 2 x 2.5 mm²\n  Resistance .. 7.98 Ω/km per core\n\nPOS. 6.3   Rack\n  Price ....... 40.00\n";
    let told = of_each(offer);
    assert_eq!((told[0].0.as_str(), &told[0].2), ("POS. 6.1", &vec![1.5]));
    assert_eq!((told[1].0.as_str(), &told[1].2), ("POS. 6.2", &vec![2.5]));
    // A field that hangs under a paragraph.
    let hung = "Lead X. 12 AWG copper, 5 m.\n        Insertion loss at 1 kHz: 0.06 dB.\n\nLead Y. 14 AWG copper, 6 m.\n";
    let told = of_each(hung);
    assert_eq!(told[0].3, [0.06], "{told:?}");
}

#[test]
fn two_that_nobody_names_are_the_former_and_the_latter() {
    let told =
        of_each("Two leads hang there. The former is 3 m long, the latter 5 m. Both have 2.5 mm².");
    assert_eq!(
        told,
        [
            ("the former".to_owned(), vec![3.0], vec![2.5], vec![]),
            ("the latter".to_owned(), vec![5.0], vec![2.5], vec![]),
        ]
    );
    // What is set off against theirs is of the other one, though theirs was named last.
    let told = of_each(
        "We set the Calder against bell wire. It was 4 mm² and 3 m; theirs was 0.75 mm² and 5 m. The Calder was far clearer.",
    );
    assert_eq!(
        (&told[0].1, &told[0].2),
        (&vec![3.0], &vec![4.0]),
        "{told:?}"
    );
    assert_eq!(
        (&told[1].1, &told[1].2),
        (&vec![5.0], &vec![0.75]),
        "{told:?}"
    );
    // The others are those that were not the first.
    let told = of_each(
        "We tried three cables: Gale (12 AWG), Squall (14 AWG) and Zephyr (16 AWG). The first was 3 m, the others 5 m.",
    );
    let lengths: Vec<_> = told.iter().map(|cable| cable.1.clone()).collect();
    assert_eq!(lengths, [vec![3.0], vec![5.0], vec![5.0]]);
    // One size over rows that go by their length.
    let rows =
        "LENGTHS AND LOSS, 2.5 mm² copper, 8 Ω\n\n5 m    0.08 dB\n10 m   0.15 dB\n20 m   0.29 dB\n";
    let told = of_each(rows);
    assert!(told.iter().all(|row| row.2 == [2.5]), "{told:?}");
    // So much there is of this one.
    let told = of_each("Kitchen: 4 m of 1.5 mm². Lounge: 8 m of 2.5 mm².");
    let wide = told.iter().find(|cable| cable.2 == [2.5]);
    assert_eq!(
        wide.map(|cable| cable.1.clone()),
        Some(vec![8.0]),
        "{told:?}"
    );
}

#[test]
fn what_only_looks_like_a_side_is_none() {
    for text in [
        "Since the first reel left a garage, the Sable has been 12 AWG.",
        "The works moved onto the old tannery site. The Sable is 12 AWG.",
        "The Sable is 12 AWG. The longer way is 14 m, the other 11 m.",
        "The Sable is 12 AWG. The works has 1400 square metres.",
    ] {
        let told = facts(text);
        assert!(told.cables.len() <= 1, "{:?}: {text}", of_each(text));
        let sizes = told.cables.iter().flat_map(|cable| &cable.sizes);
        assert!(sizes.clone().all(|size| size.awg == Some(12)), "{text}");
    }
}

#[test]
fn words_for_the_loop_are_of_the_resistance_that_they_stand_by() {
    for (text, expected) in [
        (
            "2 x 6 mm², copper. Cores of this have at most 3.3 Ω/km, so the loop stays under 0.093 Ω.",
            [Reading::Single, Reading::Loop],
        ),
        (
            "10 m of 16 AWG: 13 mΩ/m a leg, and 0.26 Ω there and back.",
            [Reading::Single, Reading::Loop],
        ),
    ] {
        let told = facts(text);
        let mut figures: Vec<_> = (told.cables.iter())
            .flat_map(|cable| &cable.figures)
            .collect();
        figures.sort_by_key(|figure| figure.span.start());
        let readings: Vec<Reading> = figures.iter().map(|figure| figure.reading).collect();
        assert_eq!(readings, expected, "{text}");
    }
    // A sentence that begins with the loop speaks of it, whatever stands in brackets behind.
    for (text, expected) in [
        (
            "Our set is 9 m of 16 AWG copper twin. Loop resistance (far end shorted, there and back): 0.24 ohm.",
            Some(9.0),
        ),
        (
            "Our set is 9 m of 16 AWG copper twin. Loop resistance, out and home, 0.24 ohm by our bridge.",
            Some(9.0),
        ),
        (
            "Of 9 m and 4 m, both 16 AWG copper twin. Loop resistance, out and home, 0.24 ohm by our bridge.",
            None,
        ),
    ] {
        let told = facts(text);
        let figure = told.cables.iter().flat_map(|cable| &cable.figures).next();
        assert_eq!(
            figure.map(|figure| figure.reading),
            Some(Reading::Loop),
            "{text}"
        );
        let over = figure
            .and_then(|figure| figure.length)
            .map(|length| length.value.0);
        assert_eq!(over, expected, "{text}");
    }
    // Of forty feet there and back half is the run: the words say nothing of the resistance.
    let told = facts("14 AWG copper. Out and back that's 40 feet, call it 0.1 Ω.");
    let figure = told.cables.iter().flat_map(|cable| &cable.figures).next();
    assert_eq!(figure.map(|figure| figure.reading), Some(Reading::Unsaid));
}

/// Found by fuzzing: “one lead” of two inside “shop one lead”, which is words for a rival as well.
#[test]
fn words_for_one_of_two_may_stand_inside_words_for_a_rival() {
    let told = facts("20% more shop one lead was 2.5 mm² the other 0.75 mm²");
    let sizes: Vec<f64> = (told.cables.iter())
        .flat_map(|cable| &cable.sizes)
        .map(|size| (size.area.0 * 1e8).round() / 100.0)
        .collect();
    assert_eq!(sizes.len(), 2, "{sizes:?}");
}
