//! Exports of several things: each record is a cable of its own, and nothing of one is given to another.

use claimgauge::facts::{Cable, Facts};
use claimgauge::lexicon::Hits;
use claimgauge::rulebook::Rulebook;
use claimgauge::sheet;

pub fn facts(text: &str) -> Facts {
    let rulebook = Rulebook::builtin();
    let sheet = sheet::read(text);
    let sentences = sheet.sentences.iter().map(|sentence| sentence.span);
    let hits = Hits::read(rulebook.lexicon(), sheet.flow.text(), sentences);
    claimgauge::facts::read(&sheet, rulebook.lexicon(), &hits)
}

/// What is known of a cable, in one line: name, area, length, metals.
fn line(cable: &Cable) -> String {
    let mut line = cable.name.clone();
    for size in &cable.sizes {
        line.push_str(&format!(" {:.2}mm2", size.area.0 * 1e6));
    }
    for length in &cable.lengths {
        line.push_str(&format!(" {:.2}m", length.value.0));
    }
    let mut metals: Vec<&str> = cable.metals.iter().map(|metal| metal.value).collect();
    metals.dedup();
    for metal in metals {
        line.push_str(&format!(" {metal}"));
    }
    line
}

#[track_caller]
fn check(text: &str, wanted: &[&str]) {
    let facts = facts(text);
    let lines: Vec<String> = facts
        .cables
        .iter()
        .filter(|cable| !cable.sizes.is_empty() || !cable.lengths.is_empty())
        .map(line)
        .collect();
    assert_eq!(lines, wanted, "{text}");
}

const TWO: &[&str] = &["Rill 2.50mm2 10.00m copper", "Beck 4.00mm2 15.00m silver"];

#[test]
fn a_key_that_comes_again_begins_another_cable() {
    check(
        "# stock\n\nname: Rill\nsection: 2.5 mm2\nconductor: bare copper\nlength: 10 m\n\nname: Beck\nsection: 4 mm2\nconductor: silver\nlength: 15 m\n",
        TWO,
    );
}

#[test]
fn a_drawn_line_parts_records() {
    check(
        "item = Rill\nmm2 = 2.5\nmetal = copper\nmetres = 10\n---\nitem = Beck\nmm2 = 4\nmetal = silver\nmetres = 15\n---\n",
        TWO,
    );
    check(
        "===== 1 of 2 =====\nProduct.....: Rill\nSection.....: 2.5 mm²\nMetal.......: copper\nLength......: 10 m\n===== 2 of 2 =====\nProduct.....: Beck\nSection.....: 4 mm²\nMetal.......: silver\nLength......: 15 m\n",
        TWO,
    );
}

#[test]
fn a_number_is_no_name_where_a_name_is_given() {
    check(
        "SKU         4471\nTitle       Rill\nSection     2.5 mm2\nMade of     copper\nLength      10 m\n\nSKU         4472\nTitle       Beck\nSection     4 mm2\nMade of     silver\nLength      15 m\n",
        TWO,
    );
}

#[test]
fn records_in_lists_objects_and_rows_are_read_alike() {
    check(
        "cables:\n  - id: 1\n    name: Rill\n    section: 2.5 mm2\n    metal: copper\n    length: 10 m\n  - id: 2\n    name: Beck\n    section: 4 mm2\n    metal: silver\n    length: 15 m\n\nwinner: Rill\n",
        TWO,
    );
    check(
        "[\n  {\"sku\": \"R-1\", \"name\": \"Rill\", \"section\": \"2.5 mm2\", \"metal\": \"copper\", \"length\": \"10 m\"},\n  {\"sku\": \"B-1\", \"name\": \"Beck\", \"section\": \"4 mm2\", \"metal\": \"silver\", \"length\": \"15 m\"}\n]\n",
        TWO,
    );
    check(
        "name = Rill ; mm2 = 2.5 ; metal = copper ; m = 10\nname = Beck ; mm2 = 4 ; metal = silver ; m = 15\n",
        TWO,
    );
}

#[test]
fn a_title_names_the_record_below_it() {
    check(
        "## Rill\n\n- Section: 2.5 mm²\n- Conductor: copper\n- Length: 10 m\n\n## Beck\n\n- Section: 4 mm²\n- Conductor: silver\n- Length: 15 m\n",
        TWO,
    );
}

#[test]
fn what_stands_apart_behind_the_last_record_is_not_its_own() {
    let facts = facts(
        "name: Rill\nmm2: 2.5\nmetal: copper\n\nname: Beck\nmm2: 4\nmetal: copper\n\nspool: 100 m\ncapacitance: 60 pF/m\n",
    );
    assert!(
        facts.cables.iter().all(|cable| cable.figures.is_empty()),
        "{:?}",
        facts.cables
    );
}

#[test]
fn a_field_that_names_another_cable_speaks_of_that_one() {
    let facts = facts(
        "name: Rill\nmm2: 2.5\nnotes: thinner than the Beck, which has 6 mm² in all\n\nname: Beck\nmm2: 6\nnotes: none\n",
    );
    let rill = facts.cables.iter().find(|cable| cable.name == "Rill");
    assert_eq!(rill.map(|cable| cable.sizes.len()), Some(1));
}

#[test]
fn one_cable_at_two_lengths_is_one_cable() {
    let facts = facts(
        "Model: Larch\nSize: 12 AWG\nMetal: copper\n\nLength: 3 m\nLoop resistance: 32 mΩ\n\nLength: 5 m\nLoop resistance: 54 mΩ\n",
    );
    assert_eq!(facts.cables.len(), 1, "{:?}", facts.cables);
}

#[test]
fn what_a_cable_hangs_on_names_no_cable() {
    let facts = facts(
        "Amplifier: Tolland\nSize: 12 AWG\nLength: 3 m\n\nAmplifier: Wicken\nSize: 12 AWG\nLength: 5 m\n",
    );
    assert!(
        facts
            .cables
            .iter()
            .all(|cable| !["Tolland", "Wicken"].contains(&cable.name.as_str())),
        "{:?}",
        facts.cables
    );
}

#[test]
fn columns_without_words_in_front_are_a_cable_each() {
    check(
        "Rill | Beck\n-----|-----\n2.5 mm² | 4 mm²\ncopper | silver\n10 m | 15 m\n",
        TWO,
    );
}

#[test]
fn a_unit_behind_the_first_value_or_over_the_table_is_that_of_all() {
    check(
        "Lead    Section    Metal     Length\nRill    2.5 mm²    copper    10 m\nBeck    4          silver    15\n",
        TWO,
    );
    check(
        "property    Rill       Beck\nsection     2.5 mm²    4\nmetal       copper     silver\nlength      10 m       15\n",
        TWO,
    );
    check(
        "Lengths are in metres of the whole run; sections in mm².\n\nLead    Section    Metal     Length\nRill    2.5        copper    10\nBeck    4          silver    15\n",
        TWO,
    );
}

#[test]
fn records_of_parts_and_of_people_are_no_cables() {
    let named = |text: &str| -> Vec<String> {
        let facts = facts(text);
        facts.cables.into_iter().map(|cable| cable.name).collect()
    };
    let parts = named(
        "Part: conductor\nMaterial: copper\nSize: 2.5 mm²\nPart: screen\nMaterial: copper braid\nSize: 1.5 mm²\nPart: jacket\nMaterial: PVC\n",
    );
    assert!(!parts.iter().any(|name| name == "screen"), "{parts:?}");
    let people = named(
        "Listener: Anna\nChose: the 14 AWG lead\nOf: 12\nListener: Bert\nChose: the 12 AWG lead\nOf: 12\n",
    );
    assert!(!people.iter().any(|name| name == "Anna"), "{people:?}");
}

#[test]
fn records_of_several_sizes_share_no_resistance() {
    let facts = facts(
        "Name: Rill\nSize: 14 AWG\nOf: 12\nName: Beck\nSize: 12 AWG\nOf: 12\n\nBoth leads are copper, 3 m long: 0.051 ohm and 0.032 ohm in the loop.\n",
    );
    assert!(
        facts.cables.iter().all(|cable| cable.figures.is_empty()),
        "{:?}",
        facts.cables
    );
}

const PAIR: &[&str] = &[
    "Calder 3.31mm2 5.00m copper",
    "Dunmore 2.08mm2 3.00m silver",
];

#[test]
fn a_name_stands_over_its_fields() {
    for text in [
        "Calder\nGauge: 12 AWG copper\nLength: 5 m\n\nDunmore\nGauge: 14 AWG silver\nLength: 3 m\n",
        "Calder\nGauge: 12 AWG copper\nLength: 5 m\nDunmore\nGauge: 14 AWG silver\nLength: 3 m\n",
        "Calder\nLength: 5 m\nGauge: 12 AWG copper\n\nDunmore\nGauge: 14 AWG silver\nLength: 3 m\n",
        "Calder\n- Gauge: 12 AWG copper\n- Length: 5 m\n\nDunmore\n- Gauge: 14 AWG silver\n- Length: 3 m\n",
    ] {
        check(text, PAIR);
    }
}

#[test]
fn a_point_stands_over_its_points() {
    for text in [
        "- **Calder**\n    - 12 AWG copper\n    - 5 m\n- **Dunmore**\n    - 14 AWG silver\n    - 3 m\n",
        "1. Calder\n   - 12 AWG copper\n   - 5 m\n2. Dunmore\n   - 14 AWG silver\n   - 3 m\nSold by the drum.\n",
        "* Calder:\n  * Gauge: 12 AWG copper\n  * Length: 5 m\n* Dunmore:\n  * Gauge: 14 AWG silver\n  * Length: 3 m\n",
    ] {
        check(text, PAIR);
    }
}

#[test]
fn a_property_stands_over_the_names() {
    for text in [
        "Gauge\n  Calder: 12 AWG\n  Dunmore: 14 AWG\nLength\n  Calder: 5 m\n  Dunmore: 3 m\nMetal\n  Calder: copper\n  Dunmore: silver\n",
        "Gauge:\nCalder: 12 AWG\nDunmore: 14 AWG\nLength:\nCalder: 5 m\nDunmore: 3 m\nMetal:\nCalder: copper\nDunmore: silver\n",
        "- Gauge\n  - Calder: 12 AWG copper\n  - Dunmore: 14 AWG silver\n- Length\n  - Calder: 5 m\n  - Dunmore: 3 m\n",
    ] {
        check(text, PAIR);
    }
}

#[test]
fn names_begin_lines_of_one_form() {
    for text in [
        "Calder, 12 AWG, 5 m, copper\nDunmore, 14 AWG, 3 m, silver\n",
        "Calder - 12 AWG - 5 m - copper\nDunmore - 14 AWG - 3 m - silver\n",
        "Calder – 12 AWG, 5 m, copper\nDunmore – 14 AWG, 3 m, silver\n",
        "Calder (12 AWG, 5 m, copper)\nDunmore (14 AWG, 3 m, silver)\n",
        "**Calder** 12 AWG, 5 m, copper\n**Dunmore** 14 AWG, 3 m, silver\n",
    ] {
        check(text, PAIR);
    }
}

#[test]
fn a_size_stands_right_behind_a_name() {
    let sizes = &["Dunmore 1.31mm2", "Calder 3.31mm2"];
    check("Dunmore (16 AWG) outperforms Calder (12 AWG).", sizes);
    check(
        "Dunmore 16 AWG vs. Calder 12 AWG: 11 listeners voted for the first, 3 for the second.",
        sizes,
    );
    // Nothing of what begins these sentences is a name.
    for text in [
        "Usually, 12 AWG is enough. Today, 14 AWG is sold everywhere.",
        "Run 14 AWG to the rear. Lay 12 AWG to the front.",
        "- Conductor\n  - 12 AWG copper\n- Screen\n  - 24 AWG copper\n",
        "Terminals (12 AWG) and Screws (14 AWG): terminals come with screws.",
    ] {
        let names = facts(text).cables;
        assert!(
            names.iter().all(|cable| [
                "Usually",
                "Today",
                "Run",
                "Lay",
                "Conductor",
                "Terminals",
                "Screws"
            ]
            .iter()
            .all(|word| !cable.name.contains(word))),
            "{text}: {names:?}"
        );
    }
}

#[test]
fn a_value_goes_on_further_in() {
    check(
        "Conductor ........ 2.5 mm2,\n                   bare copper\nSheath ........... PVC, dia 8.2 mm\nLength ........... 3 m\n",
        &[" 2.50mm2 3.00m copper"],
    );
}

#[test]
fn fields_tell_of_strands() {
    for text in [
        "Number of strands: 65\nStrand size: 30 AWG\nGauge: 12 AWG\nMetal: copper\nLength: 3 m\n",
        "Metal: copper\nStrand gauge: 30 AWG\nStrand count: 65\nGauge: 12 AWG\nLength: 3 m\n",
    ] {
        let facts = facts(text);
        let [cable] = facts.cables.as_slice() else {
            panic!("{text}: {:?}", facts.cables);
        };
        let gauges: Vec<Option<i32>> = cable.sizes.iter().map(|size| size.awg).collect();
        assert!(
            gauges.contains(&Some(12)) && !gauges.contains(&Some(30)),
            "{gauges:?}"
        );
        let strands = cable
            .sizes
            .iter()
            .find_map(|size| size.strands.as_deref().copied());
        let (count, diameter) = strands.expect("strands");
        // ASTM B258: 30 AWG is 0.2546 mm thick.
        assert!(
            count == 65 && (diameter.0 - 0.2546e-3).abs() < 1e-6,
            "{strands:?}"
        );
    }
}

#[test]
fn what_stands_beside_a_cable_is_none_of_it() {
    let all = facts(
        "Calder cable, 12 AWG, 5 m, copper. See page 14 of 16. Step 2 of 5: strip the wire. Microphone at 1 m, SPL at 2 m.\n\nVoltage rating: 300 V\nTest voltage: 2 kV\nCrossover frequency: 2.5 kHz\n",
    );
    assert_eq!(
        all.cables.iter().map(line).collect::<Vec<_>>(),
        [" 3.31mm2 5.00m copper"]
    );
    let setup = all.setup;
    assert!(
        setup.scores.is_empty() && setup.drives.is_empty() && setup.frequencies.is_empty(),
        "{setup:?}"
    );
    let spaced = facts("Calder cable: spacing 4 mm, jacket 12 x 6 mm, 14 AWG.");
    let spacing = spaced.cables[0]
        .spacing
        .as_ref()
        .map(|spacing| spacing.value.0);
    assert_eq!(spacing, Some(0.004));
}
