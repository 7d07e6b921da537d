//! Texts of any length, invented and always the same: what people read all day, and what wears a reader out.

/// Numbers that look drawn at random and are the same in every run (the linear congruence of Knuth's MMIX).
struct Dice(u64);

impl Dice {
    fn below(&mut self, bound: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % bound
    }

    fn of<'t>(&mut self, list: &[&'t str]) -> &'t str {
        let count = u64::try_from(list.len()).unwrap_or(1);
        usize::try_from(self.below(count))
            .ok()
            .and_then(|index| list.get(index))
            .copied()
            .unwrap_or("")
    }
}

const OPENINGS: &[&str] = &[
    "After the soup",
    "After the second record",
    "As our readers will remember",
    "On the way home",
    "In the workshop behind the shop",
    "For those who write to us about it",
    "Before anybody had sat down",
    "To the surprise of our host",
    "At the fair in Quillmere",
    "Since the room was new to all of us",
];
const WHO: &[&str] = &[
    "the chairman",
    "a reader from the coast",
    "my neighbour",
    "the man from the wire mill",
    "our librarian",
    "the younger listeners",
    "an engineer of the old school",
    "the owner of the house",
];
const DID: &[&str] = &[
    "told the story of the old amplifier",
    "moved the chairs nearer to the window",
    "asked for the piano once more",
    "read aloud from a letter",
    "found the plugs that had been mislaid",
    "explained how a cable is drawn, stranded and wound on its reel",
    "had brought a box of records and a thermos flask",
    "drew the room on the back of an envelope",
    "took the loudspeakers off their stands",
    "preferred not to say what he had paid",
];
const WHY: &[&str] = &[
    "because the curtains had been washed",
    "and nobody found a word against it",
    "although the evening was already late",
    "as one does among friends",
    "so that everybody had a good seat",
    "while the kettle sang in the kitchen",
    "which is more than can be said of the catalogue",
    "and we were glad to have asked",
];

/// Running text in which next to nothing is to be found: a report of club evenings, in paragraphs of hard-wrapped lines.
pub fn running(length: usize) -> String {
    let mut dice = Dice(7);
    let mut text = String::with_capacity(length + 512);
    let (mut column, mut sentences) = (0, 0);
    while text.len() < length {
        let sentence = match dice.below(12) {
            0 => format!(
                "{} stayed until {} o'clock, and {} of us took the last bus.",
                dice.of(WHO),
                6 + dice.below(6),
                2 + dice.below(9)
            ),
            1 => format!("Who {}? It was {}.", dice.of(DID), dice.of(WHO)),
            _ => format!(
                "{}, {} {}, {}.",
                dice.of(OPENINGS),
                dice.of(WHO),
                dice.of(DID),
                dice.of(WHY)
            ),
        };
        for word in sentence.split(' ') {
            if column + word.len() > 78 {
                text.push('\n');
                column = 0;
            } else if column > 0 {
                text.push(' ');
                column += 1;
            }
            text.push_str(word);
            column += word.len();
        }
        sentences += 1;
        if sentences % 6 == 0 {
            text.push_str("\n\n");
            column = 0;
        }
    }
    text.push('\n');
    text
}

/// Specification sheets one after the other, a figure in nearly every line, all of them sound.
pub fn dense(length: usize) -> String {
    // Gauge, area, resistance of one conductor at 20 °C in mΩ/m (ASTM B258 and 100 % IACS).
    const SIZES: &[(&str, &str, &str)] = &[
        ("10", "5.26", "3.28"),
        ("12", "3.31", "5.21"),
        ("14", "2.08", "8.29"),
        ("16", "1.31", "13.2"),
        ("18", "0.823", "20.9"),
    ];
    const FIRST: &[&str] = &[
        "Marl", "Heron", "Tarn", "Withy", "Fallow", "Copse", "Alder", "Sedge",
    ];
    const LAST: &[&str] = &[
        "Pit", "Brook", "Side", "Field", "Moor", "Lane", "Bank", "Gate",
    ];
    let mut dice = Dice(11);
    let mut text = String::with_capacity(length + 1024);
    while text.len() < length {
        let index = usize::try_from(dice.below(5)).unwrap_or(0);
        let (gauge, area, resistance) = SIZES.get(index).copied().unwrap_or(("12", "3.31", "5.21"));
        let (first, last, number) = (dice.of(FIRST), dice.of(LAST), dice.below(9000));
        text.push_str(&format!(
            "{first} {last} {number} loudspeaker cable\n\n\
             Conductor size ................... {gauge} AWG\n\
             Cross-section .................... {area} mm² per conductor\n\
             Number of conductors ............. 2\n\
             Conductor metal .................. copper, bare, annealed\n\
             Insulation ....................... PE, {} mm\n\
             Outer diameter ................... {}.{} mm\n\
             Resistance, one conductor ........ {resistance} mΩ/m at 20 °C\n\
             Inductance ....................... 0.6{} µH/m\n\
             Capacitance ...................... 5{} pF/m\n\
             Rating ........................... 300 V, -20 to +70 °C\n\
             Cut lengths ...................... {}, {} and 12 m\n\n\n",
            "0.9",
            6 + dice.below(4),
            dice.below(10),
            dice.below(10),
            dice.below(10),
            2 + dice.below(3),
            5 + dice.below(4),
        ));
    }
    text
}

fn repeated(piece: &str, length: usize) -> String {
    piece.repeat(length / piece.len().max(1) + 1)
}

/// A shape that may wear a step out, and its text.
pub struct Worst {
    /// What it is.
    pub name: &'static str,
    /// Of one length.
    pub text: String,
}

/// Shapes that may wear out the grammar of quantities.
pub fn worst_for_the_grammar(length: usize) -> Vec<Worst> {
    let of = |name, piece: &str| Worst {
        name,
        text: repeated(piece, length),
    };
    vec![
        of("gauges on one line", "12 AWG "),
        of("products of numbers", "2 x 2 x 2 x 2 x "),
        of("fractions", "1/2/3/4/5/6/7/8/"),
        of("ranges without end", "1 to 2 to 3 - 4 – 5 ± 6 "),
        of("number words", "one hundred and twenty-two thousand and "),
        of("opening brackets", "(((((((12 AWG "),
        of("units without numbers", "mm² Ω/km µH/m AWG "),
        of("digits alone", "1234567890"),
        of("numbers with separators", "1,234,567.890,123 "),
        of("units raised and divided", "5 mΩ/m/m/m·m²·m² "),
        of("a million quantities", "8 Ω "),
        of("lines of one figure", "5 mm²\n"),
    ]
}

/// Shapes that may wear out the matcher of word lists and what reads its hits.
pub fn worst_for_the_matcher(length: usize) -> Vec<Worst> {
    let of = |name, piece: &str| Worst {
        name,
        text: repeated(piece, length),
    };
    vec![
        of(
            "one claim, on and on",
            "The cable needs to be run in for a while. ",
        ),
        of(
            "one claim without an end",
            "the cable sounds better when it is frozen and ",
        ),
        of("one word of many lists", "cable "),
        of(
            "beginnings of phrases",
            "in the same way as if it were not the ",
        ),
        of("denials", "not no never nobody neither nor without "),
        of("quotation marks", "“the cable” ‘sounds’ \"better\" "),
        of(
            "praise",
            "“My speaker cable opened up after weeks of play.” A happy buyer. ",
        ),
        of("questions", "Does it? Is it? Would it? "),
        of("letters of one word", "a"),
        of("hyphens", "run-in-run-in-"),
        of("bullets", "- cable\n"),
        of("blank lines", "cable\n\n\n\n\n\n\n\n"),
        of("cells", "| cable | sound "),
        of("signs beyond ASCII", "尺寸 Größe Ω é \u{200b}"),
    ]
}

/// Lines that may wear out the readers of the layout: what stands below one another does so by chance.
pub fn worst_for_the_layout(length: usize) -> Vec<Worst> {
    vec![
        chance("two stretches", length, |dice| {
            format!("{}{}{}", few(dice, 7), gap(dice, 28), few(dice, 7))
        }),
        chance("three stretches", length, |dice| {
            let first = format!("{}{}{}", few(dice, 4), gap(dice, 18), few(dice, 4));
            format!("{first}{}{}", gap(dice, 18), few(dice, 4))
        }),
        chance("three stretches, some apart", length, |dice| {
            let first = format!("{}{}{}", few(dice, 4), gap(dice, 28), few(dice, 4));
            let end = dice.of(&["", "", "\n"]);
            format!("{first}{}{}{end}", gap(dice, 8), few(dice, 3))
        }),
        chance("cells between tabs", length, |dice| cells(dice, "\t")),
        chance("cells between bars", length, |dice| cells(dice, "|")),
        chance("keys side by side", length, |dice| {
            let first = format!("{}: {}", few(dice, 2), few(dice, 3));
            format!("{first}{}{}: {}", gap(dice, 18), few(dice, 2), few(dice, 3))
        }),
        chance("lines set in", length, |dice| {
            format!("{}{}", gap(dice, 40), few(dice, 8))
        }),
        chance("outcomes of sides", length, |dice| {
            let side = dice.of(&["A", "B", "C", "D"]);
            let [gain, far, gauge] = [9, 9, 12].map(|bound| 1 + dice.below(bound));
            format!("Sample {side} beat the other by {gain} dB, {far} m of {gauge} AWG.")
        }),
    ]
}

fn chance(name: &'static str, length: usize, line: impl Fn(&mut Dice) -> String) -> Worst {
    let mut dice = Dice(17);
    let mut text = String::with_capacity(length + 200);
    while text.len() < length {
        text.push_str(&line(&mut dice));
        text.push('\n');
    }
    Worst { name, text }
}

/// From one word to `most`.
fn few(dice: &mut Dice, most: u64) -> String {
    const WORDS: &[&str] = &[
        "the", "cable", "copper", "of", "wire", "plain", "12", "AWG", "3", "m", "less", "length",
    ];
    let words: Vec<&str> = (0..=dice.below(most)).map(|_| dice.of(WORDS)).collect();
    words.join(" ")
}

fn gap(dice: &mut Dice, most: u64) -> String {
    (0..2 + dice.below(most)).map(|_| ' ').collect()
}

fn cells(dice: &mut Dice, between: &str) -> String {
    let cells: Vec<String> = (0..=dice.below(5)).map(|_| few(dice, 2)).collect();
    cells.join(between)
}
