//! Loss at 20 kHz for a use that the document offers: resistance with skin effect, and inductance where the sheet states it or its
//! geometry. The budget is common practice, without a source. Only a whole range that is over it counts; where an assumed inductance
//! takes it over, it is a note.

use super::super::Context;
use super::super::bench::{Bench, loss_of};
use super::super::format::{decibels, length, ohms, with_unit};
use super::super::said::{Said, Stage, Work};
use super::damping_guide::{Run, by_chart, folded, runs};
use crate::finding::Level;
use crate::physics::choose::{Demand, PerMetre, thinnest};
use crate::physics::{IACS, conductor, size, skin};
use crate::units::{Decibel, HenryPerMetre, Hertz, OhmPerMetre};

/// Ids that it may report.
pub(in super::super) const RULES: &[&str] = &[ID];
const ID: &str = "loss-over-budget";

/// Runs the check.
pub(in super::super) fn run(context: &Context<'_>) -> Vec<Said> {
    /// 20·log10(1.05), for those who draw such charts by a share of the load.
    const CHART: &str = " A chart that allows the loop 5 % of the load's resistance allows 0.42 dB; a fair one says which loss it was \
        drawn for.";
    let mut all = Vec::new();
    for bench in Bench::offering(context) {
        let judged = runs(&bench)
            .into_iter()
            .filter_map(|run| judge(context, &bench, &run).map(|(loss, said)| (run, loss, said)))
            .collect();
        all.extend(folded(context, judged));
    }
    by_chart(context, all, CHART)
}

fn judge(context: &Context<'_>, bench: &Bench<'_>, run: &Run) -> Option<(f64, Said)> {
    let budget = context.threshold(ID, "budget_db");
    let frequency = Hertz(context.threshold(ID, "frequency_hz"));
    let known = bench.inductance();
    let assumed = bench.assumed_inductance();
    let at = |resistance: OhmPerMetre, inductance: HenryPerMetre| {
        loss_of(
            resistance,
            inductance,
            run.length.value,
            run.load.value,
            frequency,
        )
        .0
    };
    let nothing = HenryPerMetre(0.0);
    let stated_inductance = known.map_or(nothing, |known| known.value.low);
    // The statement that is kindest to the cable.
    let (source, low, high, ratio) = bench
        .sources_for_run(run.length)
        .into_iter()
        .map(|source| {
            let ratio = source.diameter.map_or(
                crate::physics::Range {
                    low: 1.0,
                    high: 1.0,
                },
                |diameter| bench.skin(diameter, frequency),
            );
            let low = source.resistance.low * ratio.low;
            let high = source.resistance.high * ratio.high;
            (source, low, high, ratio)
        })
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    let certain = at(low, stated_inductance);
    let likely = at(low, known.map_or(assumed.low, |known| known.value.low));
    let worst = at(high, known.map_or(assumed.high, |known| known.value.high));
    // With the least inductance, and with all that temperature, lay and skin effect of a solid wire can add.
    let unkind = at(high, known.map_or(assumed.low, |known| known.value.low));
    let conditions = format!(
        "{} of “{}” into {}",
        length(run.length.value.0),
        context.quote(source.span),
        ohms(run.load.value.0)
    );
    let mut work = bench
        .source_work(&source)
        .threshold(context, "f", ID, "frequency_hz", "Hz")
        .computed("k_low", "R(f)/R(0), the least", ratio.low, "")
        .quoted(context, "l", run.length.value.0, "m", run.length.span)
        .quoted(context, "R_L", run.load.value.0, "Ω", run.load.span);
    let formula = "20 · log10 |1 + (k_low·R′_low + jωL′)·l / R_L|";
    work = match known {
        Some(known) => work.quoted(context, "L′", known.value.low.0 * 1.0e6, "µH/m", known.span),
        None => work.assumed("L′", "none: resistance alone", 0.0, "µH/m"),
    };
    work = work.computed("a", formula, certain, "dB");
    let most = |work: Work| {
        let solid = "R(f)/R(0), solid wire of that size, σ_best at t_low";
        work.computed("k_high", solid, ratio.high, "")
    };
    let said = if certain > budget {
        let with = match known {
            Some(known) => format!(", inductance {} counted in,", known.how),
            None => " by resistance alone".to_owned(),
        };
        Said::finding(context, ID)
            .message(format!(
                "{conditions} loses at least {}{with} at {}, more than the {} that common practice allows.",
                decibels(certain),
                with_unit(frequency.0, "Hz"),
                decibels(budget),
            ))
            .help(advice(context, run, known.map(|known| known.value.low)))
    } else if likely > budget {
        work = work
            .usual(context, "L′_assumed", "inductance_low", "H/m")
            .computed("a_assumed", formula, likely, "dB");
        Said::finding(context, ID)
            .level(Level::Note)
            .message(format!(
                "{conditions} loses {} at {} by resistance alone; with an inductance of {}, which is assumed, it is {}, over the {} of common \
                 practice.",
                decibels(certain),
                with_unit(frequency.0, "Hz"),
                with_unit(assumed.low.0, "H/m"),
                decibels(likely),
                decibels(budget),
            ))
            .help("Ask for the inductance per metre of the cable.")
    } else if worst <= budget && !bench.cable.is_joined_by_count() {
        work = most(work);
        work = match known {
            Some(known) => work.quoted(context, "L′_high", known.value.high.0, "H/m", known.span),
            None => work.usual(context, "L′_high", "inductance_high", "H/m"),
        };
        work = work.computed(
            "a_most",
            "20 · log10 |1 + (k_high·R′_high + jωL′_high)·l / R_L|",
            worst,
            "dB",
        );
        Said::confirmed(context, ID).message(format!(
            "{conditions} loses at the most {} at {}, within the {} of common practice.",
            decibels(worst),
            with_unit(frequency.0, "Hz"),
            decibels(budget),
        ))
    } else if unkind > budget {
        work = most(work);
        work = match known {
            Some(_) => work,
            None => work.usual(context, "L′_low", "inductance_low", "H/m"),
        };
        work = work.computed(
            "a_high",
            "20 · log10 |1 + (k_high·R′_high + jωL′_low)·l / R_L|",
            unkind,
            "dB",
        );
        // A figure that rounds to the budget itself is told more finely.
        let fine = |loss: f64| {
            if decibels(loss) == decibels(budget) {
                format!("{loss:.3} dB")
            } else {
                decibels(loss)
            }
        };
        Said::finding(context, ID)
            .level(Level::Note)
            .message(format!(
                "{conditions} loses between {} and {} at {}, as build and temperature have it, which are not stated: one is within the {} of \
                 common practice and the other is not.",
                fine(certain),
                fine(unkind),
                with_unit(frequency.0, "Hz"),
                decibels(budget),
            ))
            .help("Ask whether the conductor is solid or stranded, and for the resistance per metre at 20 °C and the inductance per metre.")
    } else {
        return None;
    };
    work = work.threshold(context, "budget", ID, "budget_db", "dB");
    let said = said
        .of(bench.index, Stage::Apart)
        .mark(run.span, "the use that is offered")
        .mark(source.span, "size or resistance")
        .mark(run.length.span, "the length")
        .mark(run.load.span, "the load")
        .mark_some(known.map(|known| known.span), "the inductance")
        .working(work);
    Some((certain, said))
}

/// The smallest gauge that would do.
fn advice(context: &Context<'_>, run: &Run, inductance: Option<HenryPerMetre>) -> String {
    let frequency = Hertz(context.threshold(ID, "frequency_hz"));
    let demand = Demand {
        length: run.length.value,
        load: run.load.value,
        budget: Decibel(context.threshold(ID, "budget_db")),
        frequency,
    };
    let line = |awg: f64| {
        let one = conductor::resistance_per_metre(IACS, size::awg_area(awg), 1.0);
        let ratio = skin::solid(size::awg_diameter(awg), IACS, frequency).resistance;
        PerMetre {
            resistance: one * (2.0 * ratio),
            inductance: inductance.unwrap_or(HenryPerMetre(0.0)),
        }
    };
    let whose = if inductance.is_some() {
        "with the inductance of this cable"
    } else {
        "by resistance alone"
    };
    // 20 · log10 |1 + jωL′l / R_L|
    let reactance = inductance.map_or(0.0, |inductance| {
        std::f64::consts::TAU * frequency.0 * inductance.0 * run.length.value.0 / run.load.value.0
    });
    let alone = 10.0 * reactance.mul_add(reactance, 1.0).log10();
    match thinnest(&demand, line).and_then(|gauge| gauge.trade) {
        Some(trade) => format!(
            "The smallest copper gauge that stays within {} at this length and load, {whose}, is {} AWG; a shorter run does as well.",
            decibels(demand.budget.0),
            size::gauge_name(trade)
        ),
        None if alone >= demand.budget.0 => format!(
            "No gauge will do: the inductance alone loses {} at this length and load. Shorten the run, or use a build of lower inductance.",
            decibels(alone)
        ),
        None => {
            "No gauge up to 4/0 AWG will do at this length and load; shorten the run.".to_owned()
        }
    }
}
