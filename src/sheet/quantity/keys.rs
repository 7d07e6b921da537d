//! What the words of a key say one by one, and the words of a key that are written as one. Of values it knows how thick strands are.

use super::context::Hints;
use super::unit::Unit;

/// One word of several, as programs write names, with strokes between: `dcResistanceOhmsPer1000ft`, `lengthM`.
pub(super) fn camel(words: &str) -> Option<String> {
    let word = words.trim_end_matches([' ', ':', '=', '"']);
    let humps = word
        .as_bytes()
        .windows(2)
        .filter(|pair| pair[0].is_ascii_lowercase() && pair[1].is_ascii_uppercase())
        .count();
    let one = word.len() >= 5
        && word.bytes().all(|byte| byte.is_ascii_alphanumeric())
        && word.starts_with(|c: char| c.is_ascii_lowercase());
    if humps == 0 && word.contains('_') {
        let signed = with_signs(word.to_owned());
        return (signed != word).then_some(signed);
    }
    if humps == 0 || !one {
        return None;
    }
    let mut parted = String::with_capacity(word.len() + 8);
    let mut before = 'a';
    for letter in word.chars() {
        let begins = letter.is_ascii_uppercase() && !before.is_ascii_uppercase()
            || letter.is_ascii_digit() && before.is_ascii_lowercase();
        if begins && !parted.is_empty() {
            parted.push('_');
        }
        parted.push(letter.to_ascii_lowercase());
        before = letter;
    }
    Some(with_signs(parted))
}

/// Names of units as the grammar has them: farads and henries have a capital letter.
fn with_signs(mut parted: String) -> String {
    for (small, sign) in [
        ("_pf", "_pF"),
        ("_nf", "_nF"),
        ("_uh", "_uH"),
        ("_nh", "_nH"),
        ("_mm_2", "_mm2"),
        // The nought of a characteristic impedance is no number.
        ("z0_", "z_"),
    ] {
        parted = parted.replace(small, sign);
    }
    parted
}

/// What a single word hints at, in any case.
pub(super) fn hint(word: &str) -> Hints {
    if word.len() > 16 || word.len() < 2 {
        return Hints::default();
    }
    let mut lower = [0_u8; 16];
    let lower = &mut lower[..word.len()];
    for (to, from) in lower.iter_mut().zip(word.bytes()) {
        *to = from.to_ascii_lowercase();
    }
    match &*lower {
        b"resistance" | b"dcr" | b"loop" | b"contact" | b"contacts" | b"rdc" | b"back" | b"dc"
        | b"widerstand" | b"leiterwiderstand" | b"ways" => Hints::RESISTANCE,
        b"impedance" | b"load" | b"loads" | b"nominal" | b"speaker" | b"speakers"
        | b"loudspeaker" | b"loudspeakers" | b"characteristic" | b"z0" | b"zo"
        | b"lautsprecher" | b"impedanz" | b"minimum" | b"dips" | b"into" | b"dummy"
        | b"monitors" | b"monitor" | b"standmounts" | b"floorstanders" | b"woofer" | b"driver"
        | b"drivers" => Hints::IMPEDANCE,
        b"strand" | b"strands" | b"strd" | b"stranding" | b"stranded" | b"litze" | b"filaments"
        | b"filament" => Hints::STRANDS,
        b"wire" | b"wires" | b"solid" | b"conductor" | b"conductors" | b"core" | b"cores" => {
            Hints::WIRE
        }
        b"diameter" | b"dia" | b"diam" | b"durchmesser" => Hints::DIAMETER,
        b"outer" | b"outside" | b"overall" | b"jacket" | b"sheath" | b"od" | b"insulation"
        | b"au\xc3\x9fen" | b"spacing" | b"apart" | b"depth" | b"thick" | b"thickness"
        | b"plug" | b"plugs" | b"banana" | b"pin" | b"pins" | b"radius" | b"wall" | b"width"
        | b"wide" | b"height" | b"sleeve" | b"pitch" | b"lay" => Hints::OUTER,
        b"cable" => Hints::OUTER.with(Hints::CABLE),
        b"velocity" | b"vf" | b"nvp" | b"vp" | b"vop" | b"propagation" => Hints::VELOCITY,
        b"df" => Hints::DAMPING,
        b"score" | b"scores" | b"scored" | b"scoring" | b"correct" | b"correctly" | b"right"
        | b"abx" | b"trial" | b"trials" | b"identified" | b"identifications" | b"votes"
        | b"voted" | b"vote" | b"guessed" | b"guesses" | b"blind" | b"preferred" | b"prefer"
        | b"heard" | b"picked" | b"named" | b"chose" | b"hits" | b"hit" | b"presentations"
        | b"listeners" | b"listener" | b"panel" | b"panellists" | b"tally" | b"spotted"
        | b"sitting" | b"sittings" => Hints::TRIALS,
        b"temperature" | b"temp" | b"temperatur" | b"heat" | b"rated" | b"degrees" | b"cooled"
        | b"heated" => Hints::TEMPERATURE,
        b"current" | b"fuse" | b"fused" | b"breaker" | b"ampacity" | b"carries" | b"draws"
        | b"drawing" | b"carry" => Hints::CURRENT,
        b"gauge" | b"guage" | b"gage" | b"awg" | b"swg" => Hints::GAUGE,
        b"length" | b"lengths" | b"long" | b"reel" | b"reels" | b"roll" | b"rolls" | b"drum"
        | b"drums" | b"coil" | b"coils" | b"spool" | b"spools" | b"hank" | b"carton"
        | b"extension" | b"distance" | b"metres" | b"meters" | b"metre" | b"meter"
        | b"l\xc3\xa4nge" => Hints::LENGTH,
        b"lead" | b"leads" | b"run" | b"runs" | b"cabling" => Hints::CABLE.with(Hints::LENGTH),
        b"power" | b"leistung" => Hints::POWER,
        b"voltage" | b"volts" | b"spannung" => Hints::VOLTAGE,
        b"zip" | b"cord" | b"in-wall" | b"cl2" | b"cl3" | b"cl2p" | b"cl3p" | b"cl2r" | b"cl3r"
        | b"cm" | b"cmr" | b"cmp" | b"twin" | b"ofc" | b"copper" | b"cca" | b"bulk" | b"ga"
        | b"quad" | b"twisted" | b"size" | b"sizes" => Hints::CABLE,
        b"page" | b"pages" | b"price" | b"prices" | b"cost" | b"costs" | b"weight" | b"date"
        | b"phone" | b"tel" | b"fax" | b"order" | b"sku" | b"code" | b"serial" | b"batch"
        | b"model" | b"isbn" | b"ean" | b"stock" | b"qty" | b"quantity" | b"rating" | b"stars"
        | b"year" | b"preis" | b"gewicht" | b"mass" => Hints::OTHER,
        _ => Hints::default(),
    }
}

/// The one size in a head that counts strands: `strands of #30`, `strands (0.25 mm)`.
pub(super) fn strand_in(words: &str) -> Option<(f64, Unit)> {
    const MARKS: [&str; 5] = ["#", "No.", "no.", "AWG", "awg"];
    const MILLIMETRES: std::ops::RangeInclusive<f64> = 0.04..=1.6;
    const GAUGES: std::ops::RangeInclusive<f64> = 20.0..=46.0;
    let from = words.find(|sign: char| sign.is_ascii_digit())?;
    let (ahead, rest) = words.split_at(from);
    let end = rest
        .find(|sign: char| !sign.is_ascii_digit() && sign != '.')
        .unwrap_or(rest.len());
    let (number, behind) = rest.split_at(end);
    let value: f64 = number.parse().ok()?;
    if behind.contains(|sign: char| sign.is_ascii_digit()) {
        return None;
    }
    let mut behind = behind
        .split(|sign: char| !sign.is_alphanumeric())
        .filter(|word| !word.is_empty());
    let ahead = ahead.trim_end();
    match behind.next() {
        Some("mm") if MILLIMETRES.contains(&value) => Some((value, Unit::MILLIMETRE)),
        Some(unit) if unit.eq_ignore_ascii_case("awg") && GAUGES.contains(&value) => {
            Some((value, Unit::AWG))
        }
        _ if MARKS.iter().any(|mark| ahead.ends_with(mark)) && GAUGES.contains(&value) => {
            Some((value, Unit::AWG))
        }
        _ => None,
    }
}

/// Whether a head or a key is what a price is for: “Metre”, “per foot”. A column of lengths is headed in the plural, by a letter, or
/// by another word beside the unit.
pub(super) fn is_price_of_one(words: &str) -> bool {
    const ONE: &[&str] = &["metre", "meter", "foot", "yard", "m²"];
    let words = words.trim().to_lowercase();
    let word = ["per ", "each ", "by the ", "/"]
        .iter()
        .find_map(|lead| words.strip_prefix(lead))
        .unwrap_or(&words);
    ONE.contains(&word.trim())
}

/// Whether the words give a factor themselves: "velocity factor 0.66 .... 1.10".
pub(super) fn states_factor(words: &str) -> bool {
    words.split_once("factor").is_some_and(|(_, behind)| {
        let number = behind.trim_start_matches([' ', ':', '=']);
        let digits = number.bytes().take_while(u8::is_ascii_digit).count();
        digits > 1
            || digits == 1
                && number
                    .get(1..)
                    .is_some_and(|rest| rest.starts_with(['.', ',']))
    })
}
