//! What a quantity is of: told by its kind and by the words around it.

use super::context::Around;
use super::terms::Terms;
use super::types::FigureKind;
use crate::sheet::{Bound, Kind, Quantity};

/// What a quantity is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    /// The size of a conductor.
    Size,
    /// The size of all conductors of a pole together.
    CombinedSize,
    /// The diameter of a solid conductor.
    SolidDiameter,
    /// The length of a run.
    Run,
    /// Centre-to-centre spacing.
    Spacing,
    /// A stated figure of the cable.
    Figure(FigureKind),
    /// A load.
    Load,
    /// Power of an amplifier or into a load.
    Power,
    /// Voltage of a drive or a lamp.
    Voltage,
    /// A current.
    Current,
    /// A frequency.
    Frequency,
    /// A temperature that can be the condition of a figure.
    Temperature,
    /// A level in dB that is no loss of one cable.
    Level,
    /// A percentage of something else.
    Percent,
    /// A score.
    Score,
    /// Nothing that a cable or a set-up could own.
    Aside,
}

/// Largest metallic run that is taken for a cable, in metres.
const LONGEST_RUN: f64 = 3_000.0;
/// Shortest run that is taken for a cable, in metres.
const SHORTEST_RUN: f64 = 0.3;
/// Highest impedance of a loudspeaker, in ohms.
const HIGHEST_LOAD: f64 = 20.0;
/// Nominal impedances that loudspeakers are named by, in ohms (IEC 60268-5).
const NOMINAL: [f64; 4] = [4.0, 6.0, 8.0, 16.0];
/// How far a word for a solid wire may stand off its diameter.
const SOLID: usize = 80;
/// Least resistance that is an insulation's, in ohms.
const INSULATION: f64 = 10_000.0;
/// How far a word may stand off to speak for a quantity.
const REACH: usize = 60;
/// So many letters stand at the most between the word for a difference and its figure.
const BETWEEN_TWO: usize = 45;
/// No two wires have a characteristic impedance below this, in ohms: some foils reach 3 Ω.
const LEAST_LINE: f64 = 2.0;
/// No current of the audio band keeps to so thin a skin, m.
const THINNEST_DEPTH: f64 = 2.0e-5;
/// The same for a loss, whose conditions often stand between (“Loss at 1 kHz into 8 Ω: 0.1 dB”).
const LOSS_REACH: usize = 90;

/// No conductor of a loudspeaker cable has more: IEC 60228 ends at 2500 mm², power lines included, m².
const LARGEST: f64 = 2.5e-3;
/// Areas below that of 30 AWG are of one strand, m² (ASTM B258).
const ONE_STRAND: f64 = 5.0e-8;
/// Strands that are sold by a gauge are no thicker than 20 AWG, m² (ASTM B258).
const STRAND_AT_MOST: f64 = 5.3e-7;
/// Between words for a radius and the radius, in bytes.
const RADIUS: usize = 40;
/// Between words for a skin and how thick it is, in bytes.
const SKIN_THICK: usize = 24;
/// Between words for how deep a current goes and its depth, in bytes.
const SKIN: usize = 40;
/// The same where the depth stands behind what says that it comes.
const SKIN_SENTENCE: usize = 120;

/// Diameters of solid wires in loudspeaker cables, in metres: from 30 to 8 AWG.
const SOLID_WIRE: std::ops::RangeInclusive<f64> = 0.25e-3..=3.3e-3;

/// What `quantity` is of.
pub(super) fn role(quantity: &Quantity, around: &Around<'_>, terms: &Terms) -> Role {
    let si = quantity.si().unwrap_or(f64::NAN);
    if quantity.bound == Bound::Tolerance {
        return Role::Aside;
    }
    match quantity.kind {
        Kind::Gauge | Kind::Area | Kind::Strands => size(quantity, around, terms),
        Kind::Diameter => {
            // "Diameter" itself tells of no other thing.
            let other = around
                .nearest(terms.len_other)
                .is_some_and(|(apart, words)| apart <= 14 && !around.is_diameter(words));
            if of_a_strand(around, terms) || other {
                Role::Aside
            } else if around.near(terms.solid, SOLID) || around.keyed(terms.size_solid) {
                Role::SolidDiameter
            } else {
                Role::Aside
            }
        }
        Kind::Length if of_goods(around, terms) => Role::Aside,
        Kind::Length => length(si, around, terms),
        Kind::Resistance | Kind::Impedance => ohms(quantity, si, around, terms),
        Kind::ResistancePerLength if of_another(around, terms) => Role::Aside,
        Kind::ResistancePerLength => Role::Figure(FigureKind::ResistancePerLength),
        Kind::InductancePerLength => Role::Figure(FigureKind::InductancePerLength),
        Kind::CapacitancePerLength => Role::Figure(FigureKind::CapacitancePerLength),
        Kind::VelocityFactor => Role::Figure(FigureKind::VelocityFactor),
        // Of a whole cable, a coil or a capacitor, and how late a signal comes: held against nothing.
        Kind::DelayPerLength | Kind::Inductance | Kind::Capacitance => Role::Aside,
        Kind::DampingFactor => {
            // What the sentence itself says comes before the key that it stands under.
            let (cable, far, amp) = [terms.cable, terms.speaker, terms.damping_amp]
                .map(|concept| around.inside(concept).unwrap_or(usize::MAX))
                .into();
            let keyed = amp == usize::MAX && around.keyed(terms.damping_amp);
            let alone = amp != usize::MAX && cable == usize::MAX && far == usize::MAX;
            // "A 4 Ω loudspeaker still sees 150 at its terminals": those of the loudspeaker.
            let of_speaker = far != usize::MAX
                && around.followed_by(&[" at its terminals"])
                && around.inside(terms.amplifier).is_none();
            if of_speaker {
                Role::Figure(FigureKind::DampingFactor)
            } else if keyed || alone || (amp < REACH && amp <= cable && amp <= far) {
                Role::Figure(FigureKind::AmplifierDampingFactor)
            } else {
                Role::Figure(FigureKind::DampingFactor)
            }
        }
        Kind::Frequency => Role::Frequency,
        Kind::Temperature => {
            if around.keyed(terms.temp_air) && !around.says(terms.r_word) {
                Role::Aside
            } else {
                Role::Temperature
            }
        }
        // A loss per length is that of a matched line, not of a divider.
        Kind::LevelDb
            if quantity.unit().contains('/')
                || quantity.unit().contains("per")
                || around.followed_by(&["/", " per "]) =>
        {
            Role::Aside
        }
        Kind::LevelDb => {
            let loss = around.near(terms.loss, LOSS_REACH)
                || around.captioned(terms.loss)
                || around.introduced(terms.loss);
            // "A metre more costs you a hundredth of a decibel" is no loss of the whole.
            let further = around.says(terms.loss_further);
            // "Pick-up of hum goes down by 20 dB" is no loss of the signal.
            let other = around.near(terms.loss_other, REACH);
            if loss
                && !further
                && !other
                && !around.near(terms.better, 30)
                && !around.says(terms.matched)
            {
                Role::Figure(FigureKind::Loss)
            } else {
                Role::Level
            }
        }
        Kind::Power => Role::Power,
        Kind::Voltage => Role::Voltage,
        Kind::Current => Role::Current,
        Kind::Percent => percent(quantity, around, terms),
        Kind::Trials => Role::Score,
    }
}

/// Whether so much of it weighs or costs what stands there: “lb/1000 ft”, “Prices per 100 m”.
fn of_goods(around: &Around<'_>, terms: &Terms) -> bool {
    const CLOSE: usize = 8;
    around.led_by(&["/", "per "])
        && around
            .nearest_before(terms.len_goods)
            .is_some_and(|apart| apart <= CLOSE)
}

/// Whether the words right at a diameter make it that of a strand; those that call the wire solid may stand nearer: “Filament is a single
/// thread of 0.6 mm”.
fn of_a_strand(around: &Around<'_>, terms: &Terms) -> bool {
    const NEAR: usize = 30;
    let solid = around.distance(terms.solid).unwrap_or(usize::MAX);
    around
        .distance(terms.size_strand)
        .is_some_and(|apart| apart <= NEAR && apart <= solid)
}

fn size(quantity: &Quantity, around: &Around<'_>, terms: &Terms) -> Role {
    // "The works moved into 1400 square metres".
    if quantity.si().is_some_and(|area| area > LARGEST) {
        return Role::Aside;
    }
    // “Four cores on one terminal act as 10 AWG”: a terminal that conductors share is none that takes a size.
    let rejected = around
        .nearest(terms.size_rejected)
        .is_some_and(|(apart, words)| apart <= 30 && !around.within(words, terms.parallel));
    // “The post takes 4 mm²”; “2 x 1.0 mm² takes 100 W” says what the size does.
    let taken = (around.nearest_before(terms.size_taken)).is_some_and(|apart| apart <= 30);
    if (rejected || taken) && !around.near(terms.cable, 14) {
        return Role::Aside;
    }
    // "Seven times what 4 mm² of copper would have": the size that something is measured by.
    if around.led_by(&["what ", "than ", "as "]) && around.supposed_behind() {
        return Role::Aside;
    }
    // "Under half of what the 14 AWG has".
    if around.led_by(&["what the ", "what a ", "what an ", "what any "]) && around.owns_behind() {
        return Role::Aside;
    }
    // "Strands of #30" over their numbers: so thick is one of them.
    let thin = quantity.si().is_some_and(|area| area < STRAND_AT_MOST);
    if quantity.kind == Kind::Gauge
        && thin
        && (around.led_by(&[
            "trands of ",
            "trands, ",
            "trands (",
            "trands x ",
            "trands × ",
        ]) || around.followed_by(&[" strands"]))
    {
        return Role::Aside;
    }
    // "511 x 0.007854 mm² = 4.013 mm²": one strand in a sum.
    let strand = quantity.si().is_some_and(|area| area < ONE_STRAND);
    if strand && around.followed_by(&[" = ", " equals "]) {
        return Role::Aside;
    }
    // "For comparison, 12 AWG is 3.309 mm² and 10 AWG is 5.261 mm²".
    if around.says(terms.size_scale)
        && (around.followed_by(&[" is "]) || around.led_by(&["AWG is ", "gauge is "]))
    {
        return Role::Aside;
    }
    // "Two of them make 11 AWG": what the joined conductors come to stands behind the word.
    let joined = around
        .nearest_before(terms.size_joined)
        .filter(|_| around.says(terms.parallel));
    // "pair: 2.5 mm² each way", of four cores that are joined two and two: what both are together.
    let summed =
        around.keyed(terms.size_sum) || around.keyed_by(terms.lists.size_pole, terms.parallel);
    let combined = around
        .total(terms.size_combined)
        .into_iter()
        .chain(joined)
        .chain(summed.then_some(0))
        .min()
        .unwrap_or(usize::MAX);
    let per = around.distance(terms.size_per).unwrap_or(usize::MAX);
    // "Joined two and two it gives you 8 AWG to each pole" speaks of a pole and of no conductor.
    let of_a_pole = joined.is_some_and(|joined| joined <= 34);
    // "Combined gauge per pole: 8 AWG": the head says both.
    let headed = summed || around.keyed(terms.size_combined);
    let whole = combined < per || of_a_pole || headed;
    if combined <= 34 && whole && quantity.conductors.unwrap_or(1) == 1 {
        Role::CombinedSize
    } else {
        Role::Size
    }
}

fn length(metres: f64, around: &Around<'_>, terms: &Terms) -> Role {
    let other = around.distance(terms.len_other).unwrap_or(usize::MAX);
    let skin = around.distance(terms.len_skin).unwrap_or(usize::MAX);
    // "You have 0.47 mm at 20 kHz", where the sentence before asked how deep the current goes.
    let told = || {
        around.has_frequency()
            && (around.recalled(terms.skin_depth)
                || around.near(terms.skin_depth, SKIN)
                // "How deep it still goes … in copper, at 20 kHz, it is 0.47 mm".
                || around.led_by(&[" is ", " is about ", " is some ", " comes to ", " amounts to "])
                    && around.near(terms.skin_depth, SKIN_SENTENCE))
    };
    // "A 2 µm skin on a strand" is a plating: current of the audio band goes deeper.
    let plating = metres < THINNEST_DEPTH && !around.has_frequency();
    // "Skin depth at 20 kHz: 0.46 mm. Strand: 0.25 mm."
    let strand = around.near(terms.size_strand, 6);
    // "A solid 12 AWG wire, 2.05 mm thick, gains 35 %": so thick is the wire, unless its skin is named right before.
    let through = skin > SKIN_THICK && around.followed_by(&[" thick", " in diameter", " across"]);
    // "Skin depth 0.467 mm, radius of the solid wire 1.03 mm".
    let before = |concept| around.nearest_before(concept).unwrap_or(usize::MAX);
    let radius = before(terms.len_radius);
    let radius =
        radius <= RADIUS && (radius < before(terms.len_skin) || around.keyed(terms.len_skin));
    let of_wire = plating || strand || through || radius;
    // "At 20 kHz it gets no more than 0.2 mm into copper."
    let into = around.has_frequency()
        && around.followed_by(&[" into ", " below the surface", " beneath the surface"]);
    if metres < 0.01 && !of_wire && (skin <= 100 || told() || into) {
        return Role::Figure(FigureKind::SkinDepth);
    }
    if metres < 0.1 && around.near(terms.len_spacing, REACH) {
        return Role::Spacing;
    }
    // "One hair of solid silver each way, 0.4 mm across".
    let across = around.followed_by(&[" across", " in diameter"])
        && around.near(terms.solid, SOLID)
        && around
            .nearest(terms.len_other)
            .is_none_or(|(apart, words)| apart > 30 || around.is_diameter(words) || apart <= 4);
    // "One solid conductor of 0.6 mm", "solid copper, 1.2 mm, in each leg".
    if SOLID_WIRE.contains(&metres)
        && (around.near(terms.solid, 30) && other > 30 || across)
        && !of_a_strand(around, terms)
    {
        return Role::SolidDiameter;
    }
    // "Three metres from plug to plug".
    let ended = around.followed_by(&[
        " from plug to plug",
        " plug to plug",
        " from end to end",
        " end to end",
    ]);
    if !(SHORTEST_RUN..=LONGEST_RUN).contains(&metres) || other <= 8 && !ended {
        return Role::Aside;
    }
    // "What a metre of the cable weighs", "a box a foot long": no run is told of.
    let article = around.begins(&["a ", "A "]);
    if article && (around.followed_by(&[" of "]) || !around.near(terms.cable, REACH)) {
        return Role::Aside;
    }
    // "60 ft (two runs of 30 ft)", and what is ordered: the whole is no run.
    let part = around.led_by(&["of ", "of about "]);
    let ordered = around.keyed(terms.len_ordered) || around.right_behind(terms.len_ordered);
    if !part && (around.near(terms.len_parts, 50) || ordered) {
        return Role::Aside;
    }
    // "A collar every half metre."
    if around.led_by(&["every ", "Every "]) {
        return Role::Aside;
    }
    // "The roll was ten metres and we used all of it": what is used whole is a run.
    let reel = around.near(terms.len_reel, 26) && !around.says(terms.len_whole);
    // "Lounge to garden room is a 25 m pull".
    let room = around.near(terms.len_room, 16) && !around.near(terms.len_pull, 6);
    if reel || room {
        return Role::Aside;
    }
    Role::Run
}

/// Whether a resistance is that of something else than the conductor: of an insulation, a screen, a contact, a voice coil.
fn of_another(around: &Around<'_>, terms: &Terms) -> bool {
    const CLOSE: usize = 24;
    around.keyed(terms.r_other)
        || around
            .nearest_before(terms.r_other)
            .is_some_and(|apart| apart <= CLOSE)
}

fn ohms(quantity: &Quantity, ohms: f64, around: &Around<'_>, terms: &Terms) -> Role {
    let distance = |concept| around.distance(concept).unwrap_or(usize::MAX);
    // A line has some ohms at the least.
    if ohms >= LEAST_LINE
        && (distance(terms.z_characteristic) <= REACH || around.keyed(terms.z_characteristic))
        && !around.near(terms.speaker, 20)
    {
        return Role::Figure(FigureKind::CharacteristicImpedance);
    }
    if distance(terms.z_source) <= REACH || of_another(around, terms) {
        return Role::Aside;
    }
    // "Impedance: 93 ohms" is the line's; no loudspeaker is named so high.
    if ohms > HIGHEST_LOAD && around.keyed(terms.z_word) && !around.near(terms.speaker, 60) {
        return Role::Figure(FigureKind::CharacteristicImpedance);
    }
    // "It gains a quarter in resistance. On a 5 m run that is about 0.02 Ω": so much it gains.
    let pointed = [
        "that is ",
        "that is about ",
        "that is some ",
        "that's ",
        "that's about ",
        "this is ",
        "this is about ",
        "that makes ",
    ];
    let gained = around.recalled(terms.r_gain) || around.says(terms.r_gain);
    if gained && around.led_by(&pointed) {
        return Role::Aside;
    }
    // "A silver lead saves 3 mΩ", "the difference between silver and copper is about 3 mΩ".
    let saved = around.nearest_before(terms.r_saved);
    if saved.is_some_and(|apart| apart <= BETWEEN_TWO) {
        return Role::Aside;
    }
    if around.one_of_two_asked() {
        return Role::Aside;
    }
    // "1.44 µH, and 0.18 Ω at 20 kHz": what the inductance opposes.
    if around.led_by(&["H, and ", "H and ", "H, ", "H (", "H, or ", "H or "])
        && around.has_frequency()
    {
        return Role::Aside;
    }
    // "That is 3 mΩ out of 50", "within 0.01 Ω of each other": a difference, and nobody's resistance.
    if around.followed_by(&[
        " of reactance",
        " reactance",
        " out of ",
        " less",
        " more ",
        " of each other",
        " of one another",
        " apart",
    ]) {
        return Role::Aside;
    }
    // "At 20 kHz that adds about 16 milliohms to a loop of 69".
    let added = [" adds ", " adds about ", " adds some ", " adds roughly "];
    if around.led_by(&added) && around.followed_by(&[" to "]) {
        return Role::Aside;
    }
    let load = [
        terms.z_load,
        terms.speaker,
        terms.resistor,
        terms.lamp,
        terms.amplifier,
    ]
    .map(distance);
    let load = load.into_iter().min().unwrap_or(usize::MAX);
    let own = [terms.r_word, terms.r_loop, terms.r_single, terms.cable]
        .map(distance)
        .into_iter()
        .min()
        .unwrap_or(usize::MAX);
    if ohms < 1.0 {
        return Role::Figure(FigureKind::Resistance);
    }
    // What an insulation still lets through.
    if ohms >= INSULATION {
        return Role::Aside;
    }
    // "Wedge, 8 ohm. Loop measured 0.14 ohm": what is said of resistance goes on to the next figure.
    let told = [terms.r_word, terms.r_loop, terms.r_single]
        .iter()
        .any(|&concept| around.nearest_before(concept).is_some());
    if NOMINAL.contains(&ohms) && !told && around.another_behind() {
        return Role::Load;
    }
    // No loudspeaker has so little.
    if ohms < 1.5 && own > REACH {
        return Role::Aside;
    }
    if ohms >= 1.5 && (quantity.kind == Kind::Impedance || load <= own) {
        return Role::Load;
    }
    if own <= REACH {
        Role::Figure(FigureKind::Resistance)
    } else {
        Role::Load
    }
}

fn percent(quantity: &Quantity, around: &Around<'_>, terms: &Terms) -> Role {
    let Some(value) = quantity.number.get() else {
        return Role::Percent;
    };
    if around.near(terms.coverage, 24) {
        return Role::Percent;
    }
    if quantity.unit().to_lowercase().contains("iacs") {
        return Role::Figure(FigureKind::Conductivity);
    }
    let distance = |concept| around.distance(concept).unwrap_or(usize::MAX);
    // "101 % IACS or better".
    let named = distance(terms.iacs) <= 2;
    let (iacs, purity, skin) = (
        distance(terms.iacs),
        distance(terms.purity),
        distance(terms.skin),
    );
    if (50.0..=140.0).contains(&value)
        && iacs <= REACH
        && iacs <= purity
        && (named || !around.near(terms.better, 24))
    {
        return Role::Figure(FigureKind::Conductivity);
    }
    if (90.0..=100.0).contains(&value) && purity <= REACH {
        return Role::Figure(FigureKind::Purity);
    }
    let resistance = around.near(terms.r_word, 60) || around.keyed(terms.skin_rise);
    // "8.3 milliohms a metre. At 20 kHz: sixty per cent more."
    let further = || {
        around.has_frequency()
            && around.brief()
            && around.closes(terms.skin_further)
            && !around.says(terms.skin_else)
            && (around.after_resistance() || around.recalled(terms.skin))
    };
    // "The density falls to 37 % of its surface value at one skin depth".
    let share = || around.says(terms.skin_share) && !around.near(terms.r_word, 60);
    if (skin <= 120 || resistance || around.has_frequency()) && share() {
        return Role::Percent;
    }
    if skin <= 120 || (resistance && around.at_frequency(terms.band_top)) || further() {
        return Role::Figure(FigureKind::SkinRise);
    }
    Role::Percent
}
