//! What must hold for any cable: properties over random values.

use claimgauge::physics::loss::{self, Run};
use claimgauge::physics::{IACS, Pair, Pole, chance, choose, conductor, lamp, line, size, skin};
use claimgauge::units::{
    Celsius, Decibel, FaradPerMetre, HenryPerMetre, Hertz, Metre, Ohm, OhmPerMetre, PerKelvin,
    SquareMetre,
};
use proptest::prelude::*;

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

prop_compose! {
    /// Areas of 40 AWG to 4/0.
    fn areas()(exponent in -8.4f64..-3.95) -> SquareMetre {
        SquareMetre(10f64.powf(exponent))
    }
}

proptest! {
    #[test]
    fn resistance_falls_with_area(area in areas(), factor in 1.001f64..10.0) {
        let thin = conductor::resistance_per_metre(IACS, area, 1.0);
        let thick = conductor::resistance_per_metre(IACS, area * factor, 1.0);
        prop_assert!(thick < thin);
        prop_assert!(close(thin / thick, factor));
    }

    #[test]
    fn resistance_rises_with_temperature(t in -50.0f64..200.0, more in 0.1f64..50.0) {
        let alpha = PerKelvin(0.00393);
        let (cold, warm) = (Celsius(t), Celsius(t + more));
        prop_assert!(conductor::temperature_factor(alpha, warm) > conductor::temperature_factor(alpha, cold));
        let back = conductor::temperature_for(alpha, conductor::temperature_factor(alpha, warm));
        prop_assert!((back.0 - warm.0).abs() < 1e-9);
    }

    #[test]
    fn resistance_rises_and_inductance_falls_with_frequency(
        area in areas(), f in 1.0f64..1.0e6, factor in 1.01f64..10.0,
    ) {
        let d = size::diameter_of(area);
        let (low, high) = (skin::solid(d, IACS, Hertz(f)), skin::solid(d, IACS, Hertz(f * factor)));
        prop_assert!(high.resistance >= low.resistance && low.resistance >= 1.0);
        prop_assert!(high.inductance <= low.inductance && low.inductance <= 1.0);
        let bounds = skin::bounds(area, None, IACS, Hertz(f));
        prop_assert!(bounds.holds(low.resistance));
    }

    #[test]
    fn skin_effect_does_not_jump(x in 0.0f64..1000.0) {
        let (a, b) = (skin::ratios(x), skin::ratios(x + 1e-6));
        prop_assert!((b.resistance - a.resistance).abs() < 1e-6);
        prop_assert!((b.inductance - a.inductance).abs() < 1e-6);
    }

    #[test]
    fn loss_grows_with_length_and_frequency(
        r in 1.0e-4f64..0.2, l in 1.0e-8f64..2.0e-6, length in 0.5f64..100.0, factor in 1.01f64..5.0,
        load in 2.0f64..32.0, f in 20.0f64..20.0e3,
    ) {
        let of = |length: f64, f: f64| {
            let run = Run::of_line(OhmPerMetre(r), HenryPerMetre(l), FaradPerMetre(0.0), Metre(length));
            loss::from_source(run, Ohm(0.0), Ohm(load), Hertz(f))
        };
        prop_assert!(of(length * factor, f) > of(length, f));
        prop_assert!(of(length, f * factor) > of(length, f));
        prop_assert!(of(length, f).0 > 0.0);
        // Each part alone is less than the whole.
        prop_assert!(loss::resistive(Ohm(r * length), Ohm(load)) <= of(length, f) + Decibel(1e-12));
    }

    #[test]
    fn parallel_conductors_add(area in areas(), count in 2u32..8) {
        let pair = |parallel| Pair::side_by_side(Pole { parallel, ..Pole::of(area) }, IACS, None, 2.3);
        let (one, many) = (pair(1).expect("apart"), pair(count).expect("apart"));
        prop_assert!(close(one.resistance_dc() / many.resistance_dc(), f64::from(count)));
        prop_assert!(close(many.pole.total_area() / area, f64::from(count)));
        let sum = size::equivalent_awg(many.pole.total_area());
        let formula = size::equivalent_awg(area) - 19.5 * f64::from(count).ln() / 92f64.ln();
        prop_assert!((sum - formula).abs() < 1e-9);
    }

    #[test]
    fn conversions_go_there_and_back(
        area in areas(), awg in -3.0f64..40.0, db in 0.001f64..20.0, load in 1.0f64..600.0, percent in 10.0f64..110.0,
    ) {
        prop_assert!(close(size::awg_area(size::equivalent_awg(area)).0, area.0));
        prop_assert!((size::equivalent_awg(size::awg_area(awg)) - awg).abs() < 1e-9);
        prop_assert!(close(size::circle(size::diameter_of(area)).0, area.0));
        prop_assert!(close(size::circular_mils(size::in_circular_mils(area)).0, area.0));
        prop_assert!(close(loss::resistive(loss::resistance_for(Decibel(db), Ohm(load)), Ohm(load)).0, db));
        prop_assert!(close(conductor::iacs_percent(conductor::resistivity_of_iacs(percent)), percent));
        let one = conductor::resistance_per_metre(IACS, area, 1.02);
        prop_assert!(close(conductor::area_for(IACS, one, 1.02).0, area.0));
        let ratio = 1.0 + db / 20.0;
        prop_assert!(close(lamp::voltage_ratio(lamp::brightness(ratio).usual).usual, ratio));
        let df = loss::damping_factor(one_run(one), Ohm(0.0), Ohm(load));
        prop_assert!(close(loss::source_of_damping(df, Ohm(load)).0, one_run(one).0));
    }

    #[test]
    fn the_largest_length_spends_the_budget(
        r in 1.0e-4f64..0.2, l in 0.0f64..2.0e-6, load in 2.0f64..32.0, db in 0.01f64..3.0, f in 20.0f64..100.0e3,
    ) {
        let line = choose::PerMetre { resistance: OhmPerMetre(r), inductance: HenryPerMetre(l) };
        let length = choose::largest_length(line, Ohm(load), Decibel(db), Hertz(f));
        let run = Run::of_line(line.resistance, line.inductance, FaradPerMetre(0.0), length);
        prop_assert!(close(loss::from_source(run, Ohm(0.0), Ohm(load), Hertz(f)).0, db));
    }

    #[test]
    fn the_trade_gauge_is_thick_enough(awg in -3.0f64..40.0) {
        let sold = size::next_trade_gauge(awg).expect("not above 4/0");
        prop_assert!(f64::from(sold) <= awg + 0.01);
        prop_assert!(sold <= 0 || sold % 2 == 0);
    }

    #[test]
    fn nothing_outruns_light(d in 1.0e-4f64..1.0e-2, apart in 1.01f64..100.0, er in 1.0f64..10.0) {
        let constants = line::two_wire(Metre(d), Metre(d * apart), er).expect("apart");
        let factor = line::velocity_factor(constants.external_inductance, constants.capacitance);
        prop_assert!(factor <= 1.0 + 1e-9);
        prop_assert!((factor - line::velocity_factor_in(er)).abs() < 1e-9);
    }

    #[test]
    fn a_better_score_is_less_likely(n in 1u32..400, k in 0u32..400, p in 0.01f64..0.99) {
        let k = k.min(n);
        let (this, next) = (chance::tail(k, n, p).expect("a tail"), chance::tail(k + 1, n, p).expect("a tail"));
        prop_assert!(next <= this && this <= 1.0 + 1e-12 && next >= 0.0);
        if let Some(least) = chance::least_score(n, p, 0.05) {
            prop_assert!(chance::tail(least, n, p).expect("a tail") <= 0.05);
            prop_assert!(least == 0 || chance::tail(least - 1, n, p).expect("a tail") > 0.05);
        }
    }
}

fn one_run(one: OhmPerMetre) -> Ohm {
    conductor::loop_resistance(one, Metre(10.0))
}
