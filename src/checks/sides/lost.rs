//! The least and the most that a side can lose at the load, over everything that the document leaves open: grade of the metal,
//! temperature, lay, tinning, build, inductance.

use super::{Bench, Context, Party, Work};
use crate::checks::bench::{Wire, loss_of};
use crate::physics::{Range, size};
use crate::span::Span;
use crate::units::{HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre};

/// What one side can lose.
#[derive(Debug, Clone, Copy)]
pub(in crate::checks) struct Lost {
    /// Number by which the working calls the side.
    pub(in crate::checks) number: usize,
    /// The loop at 0 Hz.
    resistance: Range<OhmPerMetre>,
    /// Resistance at the frequency over that at 0 Hz; nothing for a lamp, which is fed at 0 Hz or little more.
    skin: Option<Range<f64>>,
    /// Inductance of a metre of loop; nothing for a lamp.
    inductance: Option<Range<HenryPerMetre>>,
    /// The words that the inductance is known by.
    told: Option<Span>,
    /// Length of the run.
    length: Metre,
    /// The loss, in dB.
    pub(in crate::checks) loss: Range<f64>,
}

impl Party<'_> {
    /// What it can lose into `load` at `frequency`. `bench` is that of its cable, and `greatest` an inductance that another cable of
    /// the document is told with.
    pub(in crate::checks) fn lost(
        &self,
        bench: &Bench<'_>,
        load: Ohm,
        frequency: Hertz,
        inductive: bool,
        greatest: Option<HenryPerMetre>,
    ) -> Option<Lost> {
        let (square, stated) = self.area?;
        let length = self.length?.value;
        let wires = bench.wires().into_iter().chain(bench.combined());
        let wire = wires
            .into_iter()
            .find(|wire| wire.size.span == stated.span)
            .unwrap_or(Wire {
                size: stated,
                area: Range {
                    low: stated.area,
                    high: stated.area,
                },
            });
        let one = bench.resistance(&wire, bench.room())?;
        // There and back, with all conductors of one pole.
        let there_and_back = 2.0 * (stated.area / square);
        let resistance = Range {
            low: one.low * there_and_back,
            high: one.high * there_and_back,
        };
        let skin = inductive.then(|| bench.skin(size::diameter_of(stated.area), frequency));
        let known = bench.inductance();
        let inductance = inductive.then(|| {
            let range = known.map_or_else(|| bench.assumed_inductance(), |known| known.value);
            let more = greatest.filter(|other| known.is_none() && other.0 > range.high.0);
            Range {
                low: range.low,
                high: more.unwrap_or(range.high),
            }
        });
        let none = Range {
            low: HenryPerMetre(0.0),
            high: HenryPerMetre(0.0),
        };
        let (times, loops) = (
            skin.unwrap_or(Range {
                low: 1.0,
                high: 1.0,
            }),
            inductance.unwrap_or(none),
        );
        let loss = Range {
            low: loss_of(
                resistance.low * times.low,
                loops.low,
                length,
                load,
                frequency,
            )
            .0,
            high: loss_of(
                resistance.high * times.high,
                loops.high,
                length,
                load,
                frequency,
            )
            .0,
        };
        Some(Lost {
            number: self.index + 1,
            resistance,
            skin,
            inductance,
            told: known.map(|known| known.span).filter(|_| inductive),
            length,
            loss,
        })
    }
}

impl Lost {
    /// The steps to the most that it can lose.
    pub(in crate::checks) fn most(&self, context: &Context<'_>, work: Work) -> Work {
        self.end(context, work, true)
    }

    /// The steps to the least.
    pub(in crate::checks) fn least(&self, context: &Context<'_>, work: Work) -> Work {
        self.end(context, work, false)
    }

    fn end(&self, context: &Context<'_>, work: Work, most: bool) -> Work {
        let number = self.number;
        let end = if most { "high" } else { "low" };
        let of = |range: Range<f64>| if most { range.high } else { range.low };
        let per_metre = if most {
            self.resistance.high
        } else {
            self.resistance.low
        };
        let from = if most {
            "2 · ρ / A at t_high, with lay and tinning, or the greatest of the standard"
        } else {
            "2 · ρ / A at t_low, of the metal at its best"
        };
        let mut work = work.computed(
            format!("R′_{end},{number}"),
            from,
            per_metre.0 * 1.0e3,
            "mΩ/m",
        );
        let mut impedance = format!("R′_{end},{number}");
        if let Some(skin) = self.skin {
            let build = if most {
                "R(f)/R(0), at the most one solid wire"
            } else {
                "R(f)/R(0), at the least"
            };
            work = work.computed(format!("k_{end},{number}"), build, of(skin), "1");
            impedance = format!("k_{end},{number} · {impedance}");
        }
        if let Some(inductance) = self.inductance {
            let value = if most {
                inductance.high
            } else {
                inductance.low
            };
            let symbol = format!("L′_{end},{number}");
            impedance = format!("|R_L + ({impedance} + jω · {symbol}) · l|");
            work = match self.told {
                Some(span) => work.quoted(context, symbol, value.0, "H/m", span),
                None if most && value.0 > context.default("inductance_high") => work.computed(
                    symbol,
                    "the greatest inductance that the document states",
                    value.0,
                    "H/m",
                ),
                None if most => work.usual(context, symbol, "inductance_high", "H/m"),
                None => work.usual(context, symbol, "inductance_low", "H/m"),
            };
        } else {
            impedance = format!("(R_L + {impedance} · l)");
        }
        work.computed(format!("l,{number}"), "as above", self.length.0, "m")
            .computed(
                format!("a_{end},{number}"),
                format!("20 · lg({impedance} / R_L)"),
                of(self.loss),
                "dB",
            )
    }
}
