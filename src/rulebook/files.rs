//! Rule files that are part of the program, as they are written.

/// The file of which the words of the layout are taken.
pub const LAYOUT: &str = "words-layout.yaml";

/// Rule files that are part of the program, by name.
pub const BUILTIN: &[(&str, &str)] = &[
    ("conductor.yaml", include_str!("../../rules/conductor.yaml")),
    ("line.yaml", include_str!("../../rules/line.yaml")),
    (
        "comparison.yaml",
        include_str!("../../rules/comparison.yaml"),
    ),
    ("claims.yaml", include_str!("../../rules/claims.yaml")),
    ("fitness.yaml", include_str!("../../rules/fitness.yaml")),
    ("safety.yaml", include_str!("../../rules/safety.yaml")),
    (
        "disclosure.yaml",
        include_str!("../../rules/disclosure.yaml"),
    ),
    ("defaults.yaml", include_str!("../../rules/defaults.yaml")),
    ("sources.yaml", include_str!("../../rules/sources.yaml")),
    (
        "words-facts.yaml",
        include_str!("../../rules/words-facts.yaml"),
    ),
    (
        "words-wire.yaml",
        include_str!("../../rules/words-wire.yaml"),
    ),
    (
        "words-care.yaml",
        include_str!("../../rules/words-care.yaml"),
    ),
    (
        "words-trade.yaml",
        include_str!("../../rules/words-trade.yaml"),
    ),
    (
        "words-stance.yaml",
        include_str!("../../rules/words-stance.yaml"),
    ),
    (
        "words-topic.yaml",
        include_str!("../../rules/words-topic.yaml"),
    ),
    (
        "words-layout.yaml",
        include_str!("../../rules/words-layout.yaml"),
    ),
    ("metals.yaml", include_str!("../../rules/metals.yaml")),
    (
        "insulations.yaml",
        include_str!("../../rules/insulations.yaml"),
    ),
];
