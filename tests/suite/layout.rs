//! Whole small documents through the reader of the layout, and what holds for any bytes at all.

use claimgauge::input::Source;
use claimgauge::sheet::{self, Block, BlockKind, Sheet};
use proptest::prelude::*;

/// A line a block, as a reader would note it down: kind, key, voice, sentences.
fn outline(text: &str) -> Vec<String> {
    let sheet = sheet::outline(text);
    sheet
        .blocks
        .iter()
        .map(|block| {
            let kind = match block.kind() {
                BlockKind::Heading { level } => format!("h{level}"),
                BlockKind::Field => "field".to_owned(),
                BlockKind::Cell { row, column, .. } => format!("cell {row},{column}"),
                BlockKind::Item => "item".to_owned(),
                BlockKind::Paragraph => "text".to_owned(),
            };
            format!(
                "{kind}{} {}",
                about(&sheet, block),
                sentences(&sheet, block)
            )
        })
        .collect()
}

fn about(sheet: &Sheet, block: &Block) -> String {
    let text = sheet.flow.text();
    let mut about = String::new();
    if block.quoted() {
        about.push_str(" quoted");
    }
    if let Some(speaker) = block.speaker() {
        about.push_str(&format!(" <{}>", speaker.of(text)));
    }
    if let Some(key) = block.key() {
        about.push_str(&format!(" [{}]", key.of(text)));
    }
    about
}

fn sentences(sheet: &Sheet, block: &Block) -> String {
    sheet.sentences[block.sentences()]
        .iter()
        .map(|sentence| sentence.span.of(sheet.flow.text()))
        .collect::<Vec<_>>()
        .join(" / ")
}

#[track_caller]
fn check(text: &str, wanted: &[&str]) {
    assert_eq!(outline(text), wanted);
}

#[test]
fn hard_wrapped_paragraphs_are_one_each() {
    check(
        "A long run of thin cable loses level. Each side of this one has a resistance of 12\n\
         mΩ/m, and over 20\nm that adds up. The cop-\nper is bare, the lead is oxygen-\nfree.\n\n\
         Another paragraph follows here and says nothing more.\n",
        &[
            "text A long run of thin cable loses level. / Each side of this one has a resistance of 12 mΩ/m, and over 20 m that adds up. / The copper is bare, the lead is oxygen-free.",
            "text Another paragraph follows here and says nothing more.",
        ],
    );
}

#[test]
fn fields_in_every_form() {
    check(
        "Size: 12 AWG\nLength = 3 m\nLoop resistance ......... 32 mΩ\nMetal      bare copper\nJacket     white PVC, which\n           stays soft\n",
        &[
            "field [Size] Size: 12 AWG",
            "field [Length] Length = 3 m",
            "field [Loop resistance] Loop resistance: 32 mΩ",
            "field [Metal] Metal: bare copper",
            "field [Jacket] Jacket: white PVC, which stays soft",
        ],
    );
}

#[test]
fn a_colon_in_running_text_makes_no_field() {
    check(
        "There was only one thing that we wanted to find out on that evening, and that\none thing: is it heard? We say no.\n",
        &[
            "text There was only one thing that we wanted to find out on that evening, and that one thing: is it heard? / We say no.",
        ],
    );
}

#[test]
fn lists_have_their_lead_in() {
    let text = "Not one of these is true:\n\n- a wire has a direction\n- copper sounds\n  warm\n\n1. First. It is thin.\n2. Second.\n";
    check(
        text,
        &[
            "text Not one of these is true:",
            "item a wire has a direction",
            "item copper sounds warm",
            "item First. / It is thin.",
            "item Second.",
        ],
    );
    let sheet = sheet::outline(text);
    assert!(
        sheet.blocks[1..]
            .iter()
            .all(|block| block.lead() == Some(0))
    );
}

#[test]
fn headings_open_sections() {
    let text = "# The wire\n\nIt is copper.\n\nFIGURES\nIt is 12 AWG all the way from the one end of the lead to the other.\n\nHow long?\n   Three metres.\n\nSmall print\n-----------\nNone.\n";
    check(
        text,
        &[
            "h1 The wire",
            "text It is copper.",
            "h2 FIGURES",
            "text It is 12 AWG all the way from the one end of the lead to the other.",
            "h3 How long?",
            "text Three metres.",
            "h2 Small print",
            "text None.",
        ],
    );
    let sheet = sheet::outline(text);
    let sections: Vec<_> = sheet.blocks.iter().map(|block| block.section()).collect();
    assert_eq!(
        sections,
        [
            None,
            Some(0),
            Some(0),
            Some(2),
            Some(2),
            Some(4),
            Some(0),
            Some(6)
        ]
    );
}

/// Every way to draw one table gives the same cells.
#[test]
fn tables_in_every_form() {
    let wanted = [
        "cell 0,0 Cable",
        "cell 0,1 Size",
        "cell 0,2 Loop resistance",
        "cell 1,0 Tansy",
        "cell 1,1 12 AWG",
        "cell 1,2 10.7 mΩ/m",
        "cell 2,0 Yarrow",
        "cell 2,1 16 AWG",
        "cell 2,2 27 mΩ/m",
    ];
    for text in [
        "| Cable | Size | Loop resistance |\n|---|---|---|\n| Tansy | 12 AWG | 10.7 mΩ/m |\n| Yarrow | 16 AWG | 27 mΩ/m |\n",
        "┌───────┬────────┬─────────────────┐\n│ Cable │ Size   │ Loop resistance │\n├───────┼────────┼─────────────────┤\n│ Tansy │ 12 AWG │ 10.7 mΩ/m       │\n│ Yarrow│ 16 AWG │ 27 mΩ/m         │\n└───────┴────────┴─────────────────┘\n",
        "+-------+-------+-----+\n| Cable | Size | Loop resistance |\n+===+===+===+\n| Tansy | 12 AWG | 10.7 mΩ/m |\n| Yarrow | 16 AWG | 27 mΩ/m |\n+---+---+---+\n",
        "Cable\tSize\tLoop resistance\nTansy\t12 AWG\t10.7 mΩ/m\nYarrow\t16 AWG\t27 mΩ/m\n",
        "  Cable     Size      Loop resistance\n  Tansy     12 AWG    10.7 mΩ/m\n  Yarrow    16 AWG    27 mΩ/m\n",
        "  Cable     Size               Loop\n                         resistance\n  -----     ------       ----------\n  Tansy     12 AWG        10.7 mΩ/m\n  Yarrow    16 AWG          27 mΩ/m\n",
        "Cable;Size;Loop resistance\nTansy;12 AWG;10.7 mΩ/m\nYarrow;16 AWG;27 mΩ/m\n",
    ] {
        assert_eq!(outline(text), wanted, "{text}");
        let sheet = sheet::outline(text);
        assert!(
            sheet.tables[0].header_row && sheet.tables[0].header_column,
            "{text}"
        );
        assert_eq!(
            sheet.tables[0].cells,
            [
                [Some(0), Some(1), Some(2)],
                [Some(3), Some(4), Some(5)],
                [Some(6), Some(7), Some(8)]
            ]
        );
    }
}

#[test]
fn one_column_a_cable() {
    let text = "                 Ours          Theirs\nConductor        4 mm²         14 AWG\nLength           5 m           5 m\n";
    let sheet = sheet::outline(text);
    let table = &sheet.tables[0];
    assert!(table.header_row && table.header_column);
    assert_eq!(table.cells[0][0], None);
    let cell = |row: usize, column: usize| {
        table.cells[row][column].map(|block| sheet.blocks[block].span.of(sheet.flow.text()))
    };
    assert_eq!(cell(0, 2), Some("Theirs"));
    assert_eq!(cell(1, 1), Some("4 mm²"));
}

#[test]
fn two_columns_of_text_are_read_one_after_the_other() {
    check(
        "The lead is made of copper and       A second column stands here and\n\
         it is four metres long. We have      goes on about other things, as\n\
         no more to say about it than         columns do. It has five lines or\n\
         that it is made to last and to       six of them, and then it is over\n\
         be walked upon by the whole          and done with.\n\
         family.\n",
        &[
            "text The lead is made of copper and it is four metres long. / We have no more to say about it than that it is made to last and to be walked upon by the whole family.",
            "text A second column stands here and goes on about other things, as columns do. / It has five lines or six of them, and then it is over and done with.",
        ],
    );
}

/// Lines that hold as many commas as each other, and a quotation, are no rows of values.
#[test]
fn a_quotation_over_two_lines_is_no_table() {
    check(
        "The shop has sent us a set of short, no, \"soft and\nround\" leads which, its leaflet says, are easy to bend. We gave\nthanks and sent them back.\n",
        &[
            "text The shop has sent us a set of short, no, \"soft and round\" leads which, its leaflet says, are easy to bend. / We gave thanks and sent them back.",
        ],
    );
    check(
        "00:01 I have two leads on the table today and this one here is\n00:04 fourteen gauge copper out of a drawer and the other one\n00:08 came in a box with a ribbon on it and cost me a week\n00:12 of dinners so let us see what the meter says about\n00:16 the pair of them before we listen to anything at all\n",
        &[
            "text I have two leads on the table today and this one here is fourteen gauge copper out of a drawer and the other one came in a box with a ribbon on it and cost me a week of dinners so let us see what the meter says about the pair of them before we listen to anything at all",
        ],
    );
    check(
        "00:31 NELL    And with me is a man who mends amplifiers.\n00:35 TOBIAH  Hello Nell. Are these the biscuits?\n00:37 NELL    They are. Now, is silver bright?\n00:41 TOBIAH  It is not. It is a metal.\n",
        &[
            "text <NELL> [NELL] NELL: And with me is a man who mends amplifiers.",
            "text <TOBIAH> [TOBIAH] TOBIAH: Hello Nell. / Are these the biscuits?",
            "text <NELL> [NELL] NELL: They are. / Now, is silver bright?",
            "text <TOBIAH> [TOBIAH] TOBIAH: It is not. / It is a metal.",
        ],
    );
}

#[test]
fn voices_are_told_apart() {
    check(
        "Q. Is it thick?\nA. It is not. It is 16 AWG.\n",
        &[
            "text <Q> Is it thick?",
            "text <A> It is not. / It is 16 AWG.",
        ],
    );
    check(
        "bracken wrote:\n> It must be run in.\n\nIt need not.\n",
        &[
            "text bracken wrote:",
            "text quoted <bracken> It must be run in.",
            "text It need not.",
        ],
    );
    check(
        "sedge                                    19:04\nIs 0.75 mm² enough?\n\nfern                                     19:11\nFor two metres it is.\n",
        &[
            "text <sedge> sedge / 19:04",
            "text <sedge> Is 0.75 mm² enough?",
            "text <fern> fern / 19:11",
            "text <fern> For two metres it is.",
        ],
    );
    check(
        "Ada: Did you hear it?\nBen: I did not hear it.\nAda: Nor did I.\nBen: So there we are.\n",
        &[
            "text <Ada> [Ada] Ada: Did you hear it?",
            "text <Ben> [Ben] Ben: I did not hear it.",
            "text <Ada> [Ada] Ada: Nor did I.",
            "text <Ben> [Ben] Ben: So there we are.",
        ],
    );
}

#[test]
fn a_letter_is_signed_below() {
    check(
        "Dear Mr Ash,\n\nYou wrote to us:\n\n> Does it need running in?\n\nIt does not, and never did.\n\nYours sincerely,\nM. Fern\n",
        &[
            "text <M. Fern> Dear Mr Ash,",
            "text <M. Fern> You wrote to us:",
            "text quoted Does it need running in?",
            "text <M. Fern> It does not, and never did.",
            "text <M. Fern> Yours sincerely, M. Fern",
        ],
    );
}

#[test]
fn repeated_keys_are_no_voices() {
    check(
        "RED\nConductor: bare copper, class 5\nJacket: soft PVC\n\nBLUE\nConductor: tinned copper\nJacket: hard PVC\n",
        &[
            "h1 RED",
            "field [Conductor] Conductor: bare copper, class 5",
            "field [Jacket] Jacket: soft PVC",
            "h2 BLUE",
            "field [Conductor] Conductor: tinned copper",
            "field [Jacket] Jacket: hard PVC",
        ],
    );
}

#[test]
fn quotations_are_marked() {
    check(
        "A reader says:\n\n\"Mine went dark after a week.\nThen it came back.\"\n\n\"It is thin,\" we said. So it is.\n",
        &[
            "text A reader says:",
            "text quoted \"Mine went dark after a week. / Then it came back.\"",
            "text \"It is thin,\" we said. / So it is.",
        ],
    );
}

#[test]
fn page_breaks_do_not_part_a_sentence() {
    check(
        "Works Journal                                        1\n\nThe resistance of the pair that we took home from the fair is\n\u{c}Works Journal                                        2\n\nlower than we thought.\n",
        &[
            "h1 Works Journal",
            "text 1",
            "text The resistance of the pair that we took home from the fair is lower than we thought.",
        ],
    );
}

#[test]
fn letter_spacing_and_entities_are_resolved() {
    check(
        "   T A N S Y   T W E L V E\n\nLoop: 10.8&nbsp;m&Omega;/m &ndash; the ﬁgure of a 12&nbsp;AWG pair\n",
        &[
            "h1 TANSY TWELVE",
            "field [Loop] Loop: 10.8 mΩ/m – the figure of a 12 AWG pair",
        ],
    );
}

/// What must hold for any document.
fn holds(bytes: &[u8]) {
    let Ok(source) = Source::decode("any", bytes) else {
        return;
    };
    let sheet = sheet::outline(source.text());
    let text = sheet.flow.text();
    for block in &sheet.blocks {
        let inside = |span: claimgauge::span::Span| {
            assert!(
                text.get(span.start()..span.end()).is_some(),
                "a span lies inside the text on character borders"
            );
        };
        inside(block.span);
        block
            .key()
            .into_iter()
            .chain(block.speaker())
            .for_each(inside);
        assert!(sheet.sentences.get(block.sentences()).is_some());
    }
    for (at, sentence) in sheet.sentences.iter().enumerate() {
        let block = &sheet.blocks[sentence.block()];
        assert!(
            block.span.contains(sentence.span),
            "a sentence lies in its block"
        );
        assert!(block.sentences().contains(&at));
        assert!(!sentence.span.is_empty());
        // Of very many, some will do.
        if at > 1000 && at % 97 != 0 {
            continue;
        }
        let range = sheet.flow.source(sentence.span);
        assert!(
            source.text().get(range.clone()).is_some(),
            "it leads back to the text on character borders"
        );
        let place = source.place(range);
        assert!(place.line >= 1 && place.column >= 1);
        assert!(place.byte_start <= place.byte_end && place.byte_end <= bytes.len());
    }
    for table in &sheet.tables {
        for cell in table.cells.iter().flatten().flatten() {
            assert!(matches!(sheet.blocks[*cell].kind(), BlockKind::Cell { .. }));
        }
    }
}

/// Pieces that layouts are made of.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,9}",
        "[A-Z]{1,9}",
        "[0-9]{1,4}",
        "[ \t]{1,9}",
        "\n{1,2}",
        Just("\r\n".to_owned()),
        Just("\u{c}".to_owned()),
        Just(": ".to_owned()),
        Just(" = ".to_owned()),
        Just(" ..... ".to_owned()),
        Just(". ".to_owned()),
        Just("| ".to_owned()),
        Just("\n| ".to_owned()),
        Just("\n---\n".to_owned()),
        Just("\n- ".to_owned()),
        Just("\n> ".to_owned()),
        Just("\n1. ".to_owned()),
        Just("\nQ. ".to_owned()),
        Just(" wrote:\n".to_owned()),
        Just("-\n".to_owned()),
        Just("&nbsp;".to_owned()),
        Just("&Omega;".to_owned()),
        Just("ﬁ".to_owned()),
        Just("\u{ad}".to_owned()),
        Just("\u{200b}".to_owned()),
        Just("\u{1b}[1m".to_owned()),
        Just("**".to_owned()),
        Just("│".to_owned()),
        Just("…".to_owned()),
        Just("“".to_owned()),
        Just("”".to_owned()),
        Just("\"".to_owned()),
        Just("µ".to_owned()),
        Just(";".to_owned()),
        Just("<br>".to_owned()),
        Just("](http://a)".to_owned()),
    ]
}

proptest! {
    #[test]
    fn any_bytes_are_read(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        holds(&bytes);
    }

    #[test]
    fn any_layout_is_read(pieces in proptest::collection::vec(piece(), 0..80)) {
        holds(pieces.concat().as_bytes());
    }

    #[test]
    fn any_layout_is_read_in_utf16(pieces in proptest::collection::vec(piece(), 0..40), cut in 0_usize..2) {
        let mut bytes = vec![0xFF, 0xFE];
        bytes.extend(pieces.concat().encode_utf16().flat_map(u16::to_le_bytes));
        bytes.truncate(bytes.len() - cut.min(bytes.len()));
        holds(&bytes);
    }

    /// Words found in the running text are the words at the place on disk that they lead back to.
    #[test]
    fn words_lead_back_to_their_bytes(
        words in proptest::collection::vec("[a-zA-ZΩµ²é]{1,8}", 1..60),
        gaps in proptest::collection::vec(prop_oneof![
            Just(" "), Just("  "), Just("\n"), Just("\r\n"), Just("\n> "), Just("\n\n"), Just(". "), Just(": "), Just("\t"), Just("&nbsp;"), Just("\u{200b} "), Just("\n- "), Just(" | "),
        ], 60),
        encoding in 0..3,
    ) {
        let mut text = String::new();
        for (word, gap) in words.iter().zip(&gaps) {
            text.push_str(word);
            text.push_str(gap);
        }
        let bytes = match encoding {
            0 => text.as_bytes().to_vec(),
            1 => [&[0xEF, 0xBB, 0xBF], text.as_bytes()].concat(),
            _ => [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect(),
        };
        let source = Source::decode("any", &bytes).expect("text");
        let sheet = sheet::outline(source.text());
        let flow = sheet.flow.text();
        let mut at = 0;
        for word in flow.split(|letter: char| !letter.is_alphanumeric()) {
            let start = at;
            at += word.len();
            at += flow[at..].chars().next().map_or(0, char::len_utf8);
            if word.is_empty() {
                continue;
            }
            let range = sheet.flow.source(claimgauge::span::Span::new(start, start + word.len()));
            let place = source.place(range);
            let raw = &bytes[place.byte_start..place.byte_end];
            let back = if encoding == 2 {
                let units: Vec<u16> = raw.chunks(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]])).collect();
                String::from_utf16(&units).expect("text")
            } else {
                String::from_utf8(raw.to_vec()).expect("text")
            };
            prop_assert_eq!(back, word);
        }
    }
}

/// Shapes that have brought readers of text to a halt, many times over; the point is that the test ends.
#[test]
fn hostile_shapes_are_read() {
    const LENGTH: usize = 1 << 16;
    for unit in [
        "a",
        "a\n",
        "a\n\n",
        "\na",
        "(",
        "[",
        "](",
        "\"",
        "> ",
        "a\t",
        "|a",
        "&",
        "<b",
        "*",
        "*a ",
        "_a",
        "\u{1b}]",
        "\u{200b}a",
        ".",
        "A. ",
        "a: ",
        "a: b\n",
        "\u{c}a",
        "- a\n",
        "1. A\n",
        "co-\n",
        "a,b,c\n",
        "A B C D\n",
        "aaa bbb    ccc\n",
        "A\n---\n",
        "a .... b\n",
        "a = b\n",
        "A wrote:\nhi\n",
        "… ",
        "· ",
        "│a",
        "a  b  c\n    d\n",
    ] {
        let text = unit.repeat(LENGTH / unit.len());
        holds(text.as_bytes());
    }
    let columns = format!("{}\n", "a\t".repeat(10_000)).repeat(5);
    holds(columns.as_bytes());
    let columns = format!("{}\n", "ab   ".repeat(10_000)).repeat(5);
    holds(columns.as_bytes());
}

#[test]
fn a_document_of_too_many_blocks_says_so() {
    let text = "a\n\n".repeat(1_000_100);
    let sheet = sheet::outline(&text);
    assert!(sheet.limited);
    assert!(sheet.blocks.len() <= 1_000_001);
    assert!(!sheet::outline("a\n\nb\n").limited);
}

#[test]
fn a_page_of_the_web_keeps_its_shape() {
    check(
        "<h2>Larch</h2>\n<ul><li>14 AWG copper</li><li>bare</li></ul>\n<table><tr><th>Size</th><th>Loss</th></tr><tr><td>14 AWG</td><td>0.03 dB</td></tr><tr><td>16 AWG</td><td>0.05 dB</td></tr></table>\n<p>Fine for <b>8 ohm</b> loudspeakers.<br>Not for mains.</p>\n",
        &[
            "h1 Larch",
            "item 14 AWG copper",
            "item bare",
            "cell 0,0 Size",
            "cell 0,1 Loss",
            "cell 1,0 14 AWG",
            "cell 1,1 0.03 dB",
            "cell 2,0 16 AWG",
            "cell 2,1 0.05 dB",
            "text Fine for 8 ohm loudspeakers. / Not for mains.",
        ],
    );
}

#[test]
fn names_and_values_stand_under_their_title() {
    check(
        "Figures\nGauge                14 AWG\nMetal                copper, bare\nCapacitance (pF/m)   45\n\nName\tLarch\nGauge\t14 AWG\nLength\t3 m\n",
        &[
            "h1 Figures",
            "field [Gauge] Gauge: 14 AWG",
            "field [Metal] Metal: copper, bare",
            "field [Capacitance (pF/m)] Capacitance (pF/m): 45",
            "field [Name] Name: Larch",
            "field [Gauge] Gauge: 14 AWG",
            "field [Length] Length: 3 m",
        ],
    );
}

#[test]
fn a_list_of_properties_has_its_signs_and_conditions_beside_the_values() {
    check(
        "Parameter            Symbol     Value        Condition\nNominal area         A          2.5 mm²      each core\nMaterial                        copper\nDC resistance        R          6.9 mΩ/m     20 °C\n",
        &[
            "field [Nominal area] Nominal area: 2.5 mm² each core",
            "field [Material] Material: copper",
            "field [DC resistance] DC resistance: 6.9 mΩ/m / 20 °C",
        ],
    );
}

#[test]
fn a_unit_in_a_column_of_its_own_goes_with_the_name_or_the_value() {
    check(
        "Parameter       Unit     Value     Condition\nResistance      mΩ/m     6.9       20 °C\nCapacitance     pF/m     45        1 kHz\n",
        &[
            "field [Resistance\nmΩ/m] Resistance / mΩ/m: 6.9 / 20 °C",
            "field [Capacitance\npF/m] Capacitance / pF/m: 45 / 1 kHz",
        ],
    );
    check(
        "Parameter       Value    Unit      Condition\nResistance      6.9      mΩ/m      20 °C\nCapacitance     45       pF/m      1 kHz\n",
        &[
            "field [Resistance] Resistance: 6.9 mΩ/m / 20 °C",
            "field [Capacitance] Capacitance: 45 pF/m / 1 kHz",
        ],
    );
}

#[test]
fn fields_side_by_side_are_read_by_column() {
    check(
        "Two leads\nKESTREL                PLOVER\nGauge: 12 AWG          Gauge: 16 AWG\nJacket: soft,          Length: 5 m\n  and grey\nLength: 3 m\n\nBoth are copper.\n",
        &[
            "h1 Two leads",
            "h2 KESTREL",
            "field [Gauge] Gauge: 12 AWG",
            "field [Jacket] Jacket: soft, and grey",
            "field [Length] Length: 3 m",
            "h2 PLOVER",
            "field [Gauge] Gauge: 16 AWG",
            "field [Length] Length: 5 m",
            "text Both are copper.",
        ],
    );
    // Of one thing: no key comes again.
    let text = "Gauge: 12 AWG          Jacket: soft\nMetal: copper          Width: 9 mm\nLength: 3 m            Colour: grey\n";
    assert_eq!(outline(text).len(), 3);
}

#[test]
fn what_stands_below_columns_is_under_none_of_their_headings() {
    let text = "Leads\n\nKestrel              Plover\nGauge: 12 AWG        Gauge: 16 AWG\nLength: 3 m          Length: 5 m\n\nBoth are copper.\n";
    let sheet = sheet::outline(text);
    let last = sheet.blocks.last().expect("a block");
    let section = last
        .section()
        .map(|at| sheet.blocks[at].span.of(sheet.flow.text()));
    assert_eq!(section, Some("Leads"));
}

#[test]
fn words_that_run_over_a_column_are_told_from_others() {
    let text = "A plain twin of three                The other one lies on\nmetres with a soft and               the floor, and it is as\ngrey jacket, as long as              long as the first. It is\nthe room is wide.                    made of copper.\n";
    let sheet = sheet::outline(text);
    let flow = sheet.flow.text();
    let span = |words: &str| {
        let start = flow.find(words).expect("the words");
        claimgauge::span::Span::new(start, start + words.len())
    };
    assert_eq!(sheet.flow.stretches(span("three metres"), text).len(), 2);
    assert_eq!(sheet.flow.stretches(span("grey jacket"), text).len(), 1);
    let wrapped = "A plain twin of three\nmetres.\n";
    let sheet = sheet::outline(wrapped);
    let start = sheet.flow.text().find("three").expect("the word");
    let span = claimgauge::span::Span::new(start, start + "three metres".len());
    assert_eq!(sheet.flow.stretches(span, wrapped).len(), 1);
}

#[test]
fn a_line_that_a_label_fills_is_a_title() {
    check(
        "SPECIMEN A (as bought)\nspeaker cable, 12 AWG\n\nSample 1:\nthin\nSample 2:\nthick\n",
        &[
            "h3 SPECIMEN A (as bought)",
            "text speaker cable, 12 AWG",
            "h3 Sample 1",
            "text thin",
            "h3 Sample 2",
            "text thick",
        ],
    );
    check(
        "Sample A - Calder, 12 AWG\nSample B - Dunmore, 14 AWG\n",
        &[
            "text Sample A - Calder, 12 AWG",
            "text Sample B - Dunmore, 14 AWG",
        ],
    );
    check(
        "We set it beside the one that we call\nSample A, which is as long as the others that we had.\n",
        &[
            "text We set it beside the one that we call Sample A, which is as long as the others that we had.",
        ],
    );
}

#[test]
fn a_value_may_go_on_far_to_the_right() {
    check(
        "WHERE USED ....... stage left and right, to 8 ohm\n                   cabinets; longest pull 30 ft\nJACKET ........... grey\n",
        &[
            "field [WHERE USED] WHERE USED: stage left and right, to 8 ohm cabinets; longest pull 30 ft",
            "field [JACKET] JACKET: grey",
        ],
    );
}

#[test]
fn what_is_said_in_a_recording_runs_on_from_time_to_time() {
    check(
        "1\n00:00:12,000 --> 00:00:15,000\nOn the left the Calder,\n\n2\n00:00:15,000 --> 00:00:19,000\ntwelve gauge.\n",
        &["text On the left the Calder, twelve gauge."],
    );
    check(
        "[00:12] This one is of 16\n[00:15] AWG, and it is thin.\n[00:19] The other is thick.\n",
        &[
            "text This one is of 16 AWG, and it is thin.",
            "text The other is thick.",
        ],
    );
    check(
        "0:12\nthis one is thin\n0:15\nand soft, too.\n0:19\nThe other is thick.\n",
        &["text this one is thin and soft, too. / The other is thick."],
    );
}
