//! Tests that are told as stories: each side is introduced once, and what it has is told later of the place, the owner or the
//! other that stands for it. All names are invented.

use claimgauge::finding::Level;
use claimgauge::input::Source;
use claimgauge::rulebook::Rulebook;
use claimgauge::run::{Auditor, Limits};

/// The rules that a text breaks.
pub(crate) fn broken(text: &str) -> Vec<String> {
    let book = Rulebook::builtin();
    let source = Source::decode("text", text.as_bytes()).expect("plain text");
    let audit = Auditor::new(&book, Limits::default()).audit(&source);
    audit
        .findings
        .iter()
        .filter(|finding| finding.level.is_some_and(|level| level >= Level::Warning))
        .map(|finding| finding.rule.to_string())
        .collect()
}

/// The rules about unequal sides that a text breaks.
fn unequal(text: &str) -> Vec<String> {
    let all = broken(text).into_iter();
    all.filter(|rule| rule.starts_with("unequal-")).collect()
}

#[test]
fn what_is_told_of_a_place_an_owner_or_the_other_is_told_of_its_side() {
    let stories: [(&str, &str); 7] = [
        (
            "unequal-load",
            r#"The vicar's two rooms

For the open evening we had two rooms ready. In the library we hung the Wrenfold, our new flat lead. The kitchen got ordinary twin off a drum.
Both are 2.5 mm² copper and both are 4 m long. The kitchen has only the little pair on the shelf, which are 8 ohms. In the library stand the tall columns, four ohms by the label.
People sat down in the library and did not want to leave. Nobody stayed in the kitchen. It is the flat shape that does it, said the maker, and we can hear that he is right.
"#,
        ),
        (
            "unequal-drive",
            r#"My brother and I

I bought the Harbour lead, he bought the Quay. Mine's the Harbour, with the silk inside. His is the Quay, without.
Both are 14 AWG copper, three metres. I run ninety watts a side, he still uses the ten-watt thing from the attic.
Mine wins by a mile. There is a depth that his never had. It must be the silk.
"#,
        ),
        (
            "unequal-length",
            r#"A Sunday test

On the left I put the Greycote, on the right the wire from the chandler. Both are copper, 1.5 mm².
The Greycote is three metres long. The other runs behind the dresser and comes to nine.
The singer leaned left from the first bar. The Greycote was far clearer. It is the paper sleeve that does that.
"#,
        ),
        (
            "unequal-drive",
            r#"Two boards

On the left-hand board was a length of Marl Classic. The right-hand one carried the Marl Reserve, which is wound without tape. Both are 2.5 mm² copper, 4 m.
Each board had its own amplifier. The left ran from a small valve amplifier of 15 watts. The other board hung off a transistor amplifier, 160 watts.
The right was better by far, tighter and with more grip. It is the missing tape, said the rep.
"#,
        ),
        (
            "unequal-drive",
            r#"Diary

Monday. The Ternlea arrives, copper, 3 m, 2.5 mm², with a cotton jacket. My old flex is copper as well, 2.5 mm² and 3 m.
Tuesday. I leave the flex on the old 20 watt amplifier and play a quartet. Dull.
Wednesday. Sam comes over with his 140 watt amplifier. On goes the Ternlea with it, same speakers. It was wonderful, so much more air. I put it down to the cotton.
"#,
        ),
        (
            "unequal-length",
            r#"Letter

Sir, my neighbour has the Pellow cable and I have the common twin. His goes round the chimney, so it is twelve metres. Mine is four.
Both are 2.5 mm² copper. We played the same record at his house on Friday. Mine was much clearer than his. The lack of a jacket is what does it.
"#,
        ),
        (
            "unequal-metal",
            r#"The vicar's two rooms

In the library we hung the Wrenfold, our new flat lead. The kitchen got ordinary twin off a drum.
Both are 4 m long, one amplifier served both, and the speakers were the same 8 ohm pair.
People sat down in the library and did not want to leave. It is the flat shape that does it, said the maker.
Somebody asked about the wire. In the library it is silver, in the kitchen it is copper.
"#,
        ),
    ];
    for (rule, story) in stories {
        assert_eq!(unequal(story), [rule], "{story}");
    }
}

#[test]
fn stories_of_equal_sides_of_one_side_and_of_a_declared_length_accuse_nobody() {
    let stories = [
        r#"Two rooms, one lead each

In the library we hung the Wrenfold, the kitchen got ordinary twin. Both are 2.5 mm² copper and 4 m long.
The same 8 ohm columns were carried from room to room, and the same amplifier of 60 watts drove both.
The Wrenfold was liked better. It is the flat shape, says the maker.
"#,
        r#"Two brothers

Mine's the Harbour, his is the Quay. Mine is three metres. His is three as well. Both are 14 AWG copper.
We both run 60 watt amplifiers into 8 ohm boxes. I preferred mine. It must be the silk.
"#,
        r#"How long is too long

This is a test of length and of nothing else. On the left I put 3 m of the Greycote, on the right 20 m of the same.
The left was clearer, as expected. It is the length that makes the difference.
"#,
        r#"Our house

In the lounge we have the Carrow on the 8 ohm columns. In the kitchen a radio with a 4 ohm box hangs on thin flex.
We like the Carrow very much: it is well made. The braid is handsome. The amplifier in the lounge gives 80 watts, the radio in the kitchen 5 watts.
"#,
        r#"Report

Two leads were tested, the Ashdown and the Bream. The Ashdown is 4 m, the Bream is 4 m. Both are 2.5 mm² copper.
First the Ashdown was played on the 30 watt amplifier and then on the 120 watt one. Next the Bream was played on both of them. Loads were 8 ohms throughout.
The Ashdown was preferred by four of us. We put that down to the plait, but it may well be chance.
"#,
        r#"Advice

For the front room a run of 4 m is enough, for the back room you need 11 m. My own is 2.5 mm² copper, and so is my son's.
He likes his better than mine. It is the colour, he says.
"#,
        r#"A confession

On the left I had the Greycote, three metres. The other side ran behind the dresser and came to nine metres.
I thought that the Greycote was much clearer and that the sleeve did it. Then I cut the other to three metres, and the difference was gone. So it was the length all along.
"#,
        r#"Shop

Upstairs you can hear the Dunmore on 8 ohm monitors and on 4 ohm columns. Downstairs we have the flex on the same monitors.
The Dunmore is the better one, we think. It's the ribbon. It is sold in 3 m and 5 m.
"#,
        r#"Two amplifiers

He has a valve amplifier of 18 watts, I have a transistor amplifier of 100. We both use the Larkhill, 3 m of it.
Mine has more bass, his has more charm. That comes from the amplifiers, of course, and not from the jacket of the cable.
"#,
        r#"The amplifier

The first, the Rook, hung in the hall. The second, the Daw, hung in the study. Each is 2.5 mm² copper, 5 m.
The hall has 8 ohm columns. We carried the Daw to the hall too, so that both played on these, since the ones in the study are 4 ohms and would not have been fair.
The Rook was chosen by six of nine. It is the cotton, says its maker.
"#,
        r#"Two boards

On the left-hand board was a length of Marl Classic. The right-hand one carried the Marl Reserve, which is wound without tape. Both are 2.5 mm² copper, 4 m.
The right was better by far. It is the missing tape, said the rep.
He also sells a silver one, which was not on the boards, and a thicker one of 4 mm².
"#,
        r#"Upstairs and downstairs

The study has the Ferry, and the lounge has the Mole. The Ferry is copper with silver plugs. The Mole is copper with copper plugs.
Both are 2.5 mm² and 3 m. The Ferry sounded better. It is the plugs.
"#,
    ];
    for story in stories {
        assert!(unequal(story).is_empty(), "{story}");
    }
}

#[test]
fn a_column_of_marks_with_a_cause_is_a_comparison() {
    let table = r#"GROUP TEST

  Cable             Shape     Conductor   Size      Run     Verdict (of 10)
  ------------------------------------------------------------------------
  Marlow Flat       ribbon    copper      2.5 mm²   3 m     9.1
  Oxley Helix       coil      silver      2.5 mm²   5 m     6.9
  ------------------------------------------------------------------------

What did we learn? That shape is everything. Winding a conductor up into
a coil costs you two whole marks.
"#;
    assert_eq!(unequal(table), ["unequal-metal", "unequal-length"]);
    let plain = table.replace(
        "That shape is everything. Winding a conductor up into\na coil costs you two whole marks.",
        "Little.",
    );
    assert!(unequal(&plain).is_empty(), "{plain}");
}

#[test]
fn what_is_better_than_its_sheet_beats_no_cable() {
    let log = r#"Bench log

item:     A
marked:   14 AWG, copper
length:   10 m
remark:   very good, better than their sheet.

item:     B
marked:   16 AWG, copper
length:   6 m
remark:   as expected.
"#;
    assert!(unequal(log).is_empty());
}
