//! Wire gauges: the American by its formula, the British by its table.

/// Diameter in metres of an American wire gauge (ASTM B258: 0.005 in for No. 36, 0.46 in for 4/0, 39 equal ratios between).
/// 1/0 is 0, 2/0 is −1 and so on.
pub(super) fn awg_diameter(gauge: i32) -> f64 {
    0.000_127 * 92_f64.powf((36.0 - f64::from(gauge)) / 39.0)
}

/// Cross-section in square metres of an American wire gauge.
pub(super) fn awg_area(gauge: i32) -> f64 {
    let diameter = awg_diameter(gauge);
    std::f64::consts::FRAC_PI_4 * diameter * diameter
}

/// Diameter in metres of a British standard wire gauge from 0 to 50 (BS 3737, the table of 1884; inches, from memory).
pub(super) fn swg_diameter(gauge: i32) -> Option<f64> {
    const THOUSANDTHS: [f64; 51] = [
        324.0, 300.0, 276.0, 252.0, 232.0, 212.0, 192.0, 176.0, 160.0, 144.0, 128.0, 116.0, 104.0,
        92.0, 80.0, 72.0, 64.0, 56.0, 48.0, 40.0, 36.0, 32.0, 28.0, 24.0, 22.0, 20.0, 18.0, 16.4,
        14.8, 13.6, 12.4, 11.6, 10.8, 10.0, 9.2, 8.4, 7.6, 6.8, 6.0, 5.2, 4.8, 4.4, 4.0, 3.6, 3.2,
        2.8, 2.4, 2.0, 1.6, 1.2, 1.0,
    ];
    THOUSANDTHS
        .get(usize::try_from(gauge).ok()?)
        .map(|thousandths| thousandths * 25.4e-6)
}
