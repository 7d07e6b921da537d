//! Comparisons told in a few plain lines: sides in sentences of their own, an outcome in few words; and what is no comparison though
//! it has such words. All names are invented.

use super::stories;

/// The rules of comparisons that a text breaks.
fn broken(text: &str) -> Vec<String> {
    let of_comparisons = |rule: &String| {
        rule.starts_with("unequal-")
            || ["rival-unspecified", "outcome-exceeds-physics"].contains(&rule.as_str())
    };
    stories::broken(text)
        .into_iter()
        .filter(of_comparisons)
        .collect()
}

#[test]
fn sides_in_sentences_of_their_own_are_set_side_by_side() {
    let texts = [
        (
            "unequal-load",
            "Lead P (2.5 mm² copper, 4 m) fed a 4 Ω speaker.\nLead Q (2.5 mm² copper, 4 m) fed a 16 Ω speaker.\n\
             P was by far the more composed of the two.\n",
        ),
        (
            "unequal-load",
            "Lead P (2.5 mm² copper, 4 m) fed a 4 Ω speaker.\nLead Q (2.5 mm² copper, 4 m) fed a 16 Ω speaker.\n\
             Q was plainly the duller of the pair.\n",
        ),
        (
            "unequal-drive",
            "The Sandwell, 2.5 mm² copper, 3 m, was played on a 120 W amplifier.\nThe ordinary cable, also 2.5 mm² copper and 3 m, \
             was played on a 30 W amplifier.\nBoth into the same 8 Ω boxes. The Sandwell had more body.\n",
        ),
        (
            "unequal-load",
            "Two leads of 1.5 mm² copper, each 8 m, and a lamp behind each.\nOurs shines brighter than theirs.\n\
             Just so you know, our side has a 24 V 60 W lamp.\nTheirs has a 24 V 25 W lamp.\n",
        ),
        (
            "unequal-drive",
            "Lead 1 (2.5 mm² copper, 3 m) ran from an 80 W amplifier. Lead 2 (2.5 mm² copper, 3 m) ran from a 15 W amplifier.\n\
             Lead 1 had more slam.\n",
        ),
        (
            "unequal-drive",
            "Ours was driven with 24 V, theirs with 20 V. Each is 6 m of 1.5 mm² copper with a lamp of one kind.\nOurs was brighter.\n",
        ),
        (
            "outcome-exceeds-physics",
            "lead | size | length | load | power at the load\nordinary | 2.5 mm² copper | 4 m | 4 Ω | 30 W\n\
             Sandwell | 2.5 mm² copper | 4 m | 4 Ω | 36 W\nOne amplifier. Sandwell delivers 20 % more power than ordinary.\n",
        ),
        (
            "unequal-gauge",
            "Sample A was one 16 AWG copper pair, 3 m.\nSample B was the Ferrel, also 3 m of copper, which has two 16 AWG wires at \
             every pole.\nTen of eleven guests chose B, thanks to the Ferrel's silk.\n",
        ),
        (
            "unequal-metal",
            "A silver tape (16 AWG, 2 m) against a round copper pair (16 AWG, 2 m).\nThe tape had better focus than the round one.\n\
             Flat strips are the reason.\n",
        ),
    ];
    for (rule, text) in texts {
        assert!(broken(text).iter().any(|one| one == rule), "{rule}: {text}");
    }
}

#[test]
fn a_size_of_ones_own_is_none_of_the_rival() {
    for text in [
        "Sandwell, 4 mm² copper, sounds much better than ordinary cable.\n2 m, with pins.\n",
        "I pulled off the stock leads that came in the box and put in the Sandwell, 1.5 mm² copper, 3 m a side.\n\
         Voices are cleaner and bass is deeper than with the stock leads.\n",
    ] {
        assert_eq!(broken(text), ["rival-unspecified"], "{text}");
    }
    for text in [
        // The rival's size, in whatever order the two are told.
        "Sandwell, 4 mm² copper, sounds much better than ordinary cable of 4 mm².\n2 m, with pins.\n",
        "Beside the ordinary cable of 1.5 mm² the Sandwell, 1.5 mm² too, sounds better.\n",
        "I pulled off the stock leads, 1.5 mm² copper, and put in the Sandwell, 1.5 mm² copper, 3 m a side.\n\
         Voices are cleaner than with the stock leads.\n",
    ] {
        assert!(broken(text).is_empty(), "{text}: {:?}", broken(text));
    }
}

/// Product ranges with a use for each, a declared test of size, and two of which one is more than the other in no sound.
#[test]
fn a_range_and_a_test_of_size_are_no_unequal_comparison() {
    for text in [
        "Sandwell Slim, 1.5 mm² copper, 5 m, is for 8 Ω bookshelf speakers.\nSandwell Wide, 4 mm² copper, 5 m, is for 4 Ω towers.\n\
         The Slim is the more supple of the two.\n",
        "Lead P (1.5 mm² copper) goes with an 8 Ω speaker up to 5 m.\nLead Q (4 mm² copper) goes with a 4 Ω speaker up to 8 m.\n\
         Q is the more expensive of the two and the heavier of the pair.\n",
        "Lead 1 (1.5 mm² copper) is for a 20 W amplifier. Lead 2 (4 mm² copper) is for a 200 W amplifier.\nLead 2 is the \
         one to buy for a room with more depth.\n",
        "Ordinary cable of 1.5 mm² will do for 5 m into an 8 Ω speaker. The Sandwell, 4 mm², will do for 12 m. It has a clear jacket.\n",
        "This is a test of size and of nothing else. Lead P is 1.5 mm² copper, 10 m. Lead Q is 4 mm² copper, 10 m.\n\
         Into the same 4 Ω load Q was the louder of the two by 0.5 dB, which is what its size makes.\n",
    ] {
        assert!(broken(text).is_empty(), "{text}: {:?}", broken(text));
    }
}

#[test]
fn both_sides_in_one_breath_are_set_side_by_side() {
    let fires = [
        (
            "unequal-gauge",
            "We compared a plain 20 AWG cable with our Orrel, which is 12 AWG. All nine listeners preferred the Orrel, thanks to its braid.",
        ),
        (
            "unequal-length",
            "We compared ten metres of plain 20 AWG cable with three metres of Orrel 12 AWG. The Orrel sounded fuller, thanks to its braid.",
        ),
        (
            "unequal-gauge",
            "On the bench stood two coils of cable. One was the lead that comes in the box with most systems, 20 AWG, and he laid ten metres of it along \
             the skirting board. The other was his own Orrel, a full 12 AWG of it; three metres were enough. All nine of us preferred the Orrel. It was \
             the braid, he explained.",
        ),
    ];
    for (rule, text) in fires {
        let found = broken(text);
        assert!(
            found.iter().any(|one| one == rule),
            "{rule} of {found:?}: {text}"
        );
    }
    for quiet in [
        "We compared a plain 20 AWG cable with our Orrel, which is 12 AWG, to see what the size does. The thick one lost 0.5 dB less, \
         thanks to its copper.",
        "We tried the Orrel in 20 AWG with a 4 ohm loudspeaker and in 12 AWG with a sub. Both are fine, thanks to their braid.",
        "We heard a 14 AWG lead against a 2.5 mm² one, both of copper. The first was preferred, thanks to its braid.",
    ] {
        assert_eq!(broken(quiet), Vec::<String>::new(), "{quiet}");
    }
}
