//! Drawings of curves against frequency, as SVG with a title and a description for those who do not see it.

use maud::{PreEscaped, html};

/// One curve: a name, and points of frequency in Hz and value.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Name, written at its right end.
    pub name: String,
    /// Points, frequency rising and above zero.
    pub points: Vec<(f64, f64)>,
}

/// One of the drawings above each other, which share the frequency axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// What the value is, with its unit.
    pub label: String,
    /// Curves.
    pub curves: Vec<Curve>,
    /// A value to be marked by a line across, with its name.
    pub mark: Option<(f64, String)>,
}

/// Width of the whole, in units of the drawing.
const WIDTH: f64 = 860.0;
/// Height of the strip of title above the first panel.
const HEAD: f64 = 56.0;
/// Height of a panel.
const PANEL: f64 = 230.0;
/// Distance from panel to panel.
const GAP: f64 = 56.0;
/// From the left border to the axis.
const LEFT: f64 = 74.0;
/// From the end of the axis to the right border, where names stand.
const RIGHT: f64 = 160.0;
/// Strip below the last panel.
const FOOT: f64 = 58.0;

/// Line colours, told apart by dashes as well.
const INKS: [(&str, &str); 3] = [("#0b5c74", "none"), ("#a3420f", "9 4"), ("#5a4a8a", "2 4")];

/// The frequency axis.
struct Axis {
    low: f64,
    high: f64,
}

impl Axis {
    fn of(panels: &[Panel]) -> Self {
        let all = || {
            panels
                .iter()
                .flat_map(|panel| &panel.curves)
                .flat_map(|curve| &curve.points)
                .map(|point| point.0)
        };
        let low = all().fold(f64::INFINITY, f64::min);
        let high = all().fold(0.0, f64::max);
        if low > 0.0 && low < high {
            Self { low, high }
        } else {
            Self {
                low: 20.0,
                high: 20.0e3,
            }
        }
    }

    fn x(&self, frequency: f64) -> f64 {
        let share = (frequency / self.low).ln() / (self.high / self.low).ln();
        LEFT + share * (WIDTH - LEFT - RIGHT)
    }

    /// Grid lines at 1, 2, 5 of each decade, with a label for each.
    fn ticks(&self) -> Vec<(f64, String)> {
        let mut ticks = Vec::new();
        for decade in 0..9 {
            for step in [1.0, 2.0, 5.0] {
                let frequency = step * 10f64.powi(decade);
                if frequency >= self.low * 0.999 && frequency <= self.high * 1.001 {
                    let label = if frequency >= 999.0 {
                        format!("{} k", frequency / 1.0e3)
                    } else {
                        format!("{frequency}")
                    };
                    ticks.push((frequency, label));
                }
            }
        }
        ticks
    }
}

/// A round step so that four to eight fit into `span`.
fn step(span: f64) -> f64 {
    let power = 10f64.powf((span / 5.0).log10().floor());
    [1.0, 2.0, 2.5, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| span / step <= 6.5)
        .unwrap_or(10.0 * power)
}

fn coordinate(value: f64) -> String {
    format!("{value:.1}")
}

/// The value of a tick without the noise of binary fractions.
fn tick_label(value: f64, step: f64) -> String {
    let mut places = 0usize;
    let mut probe = step;
    while (probe - probe.round()).abs() > 1.0e-6 * probe && places < 9 {
        probe *= 10.0;
        places += 1;
    }
    format!("{value:.places$}")
}

fn panel(panel: &Panel, axis: &Axis, top: f64) -> PreEscaped<String> {
    let values = panel
        .curves
        .iter()
        .flat_map(|curve| curve.points.iter().map(|point| point.1))
        .chain(panel.mark.iter().map(|mark| mark.0))
        .filter(|value| value.is_finite());
    let most = values.fold(0.0, f64::max);
    let most = if most > 0.0 { most } else { 1.0 };
    let step = step(most);
    let ceiling = (most * 1.02 / step).ceil() * step;
    let bottom = top + PANEL;
    let y = |value: f64| bottom - value.clamp(0.0, ceiling) / ceiling * PANEL;
    let right = WIDTH - RIGHT;
    let mut levels = vec![0.0];
    while levels.len() < 20
        && levels
            .last()
            .is_some_and(|last| last + step <= ceiling * 1.0001)
    {
        levels.push(levels.last().copied().unwrap_or(0.0) + step);
    }
    // Names at the right ends, pushed apart where they would touch.
    let mut names: Vec<(f64, usize)> = panel
        .curves
        .iter()
        .enumerate()
        .filter_map(|(index, curve)| curve.points.last().map(|point| (y(point.1), index)))
        .collect();
    names.sort_by(|a, b| a.0.total_cmp(&b.0));
    for index in 1..names.len() {
        let least = names[index - 1].0 + 16.0;
        if names[index].0 < least {
            names[index].0 = least;
        }
    }
    html! {
        g {
            text x=(coordinate(LEFT)) y=(coordinate(top - 10.0)) font-weight="600" { (panel.label) }
            @for level in &levels {
                line x1=(coordinate(LEFT)) x2=(coordinate(right)) y1=(coordinate(y(*level))) y2=(coordinate(y(*level)))
                    stroke="#d8d4c8" stroke-width="1" {}
                text x=(coordinate(LEFT - 8.0)) y=(coordinate(y(*level) + 4.0)) text-anchor="end" { (tick_label(*level, step)) }
            }
            @for (frequency, _) in axis.ticks() {
                line x1=(coordinate(axis.x(frequency))) x2=(coordinate(axis.x(frequency))) y1=(coordinate(top)) y2=(coordinate(bottom))
                    stroke="#e6e2d8" stroke-width="1" {}
            }
            @if let Some((value, name)) = &panel.mark {
                line x1=(coordinate(LEFT)) x2=(coordinate(right)) y1=(coordinate(y(*value))) y2=(coordinate(y(*value)))
                    stroke="#1f1f1f" stroke-width="1.5" stroke-dasharray="1 3" {}
                text x=(coordinate(LEFT + 8.0)) y=(coordinate(y(*value) - 6.0)) { (name) }
            }
            @for (index, curve) in panel.curves.iter().enumerate() {
                @let (ink, dashes) = INKS[index % INKS.len()];
                polyline fill="none" stroke=(ink) stroke-width="2.4" stroke-dasharray=(dashes) stroke-linejoin="round"
                    points=(curve.points.iter().map(|(f, value)| format!("{:.1},{:.1}", axis.x(*f), y(*value))).collect::<Vec<_>>().join(" ")) {}
            }
            @for (height, index) in &names {
                @let (ink, _) = INKS[index % INKS.len()];
                text x=(coordinate(right + 8.0)) y=(coordinate(height + 4.0)) fill=(ink) { (panel.curves[*index].name) }
            }
        }
    }
}

/// The drawing: panels above each other over one logarithmic frequency axis. Every text is escaped.
#[must_use]
pub fn svg(title: &str, description: &str, panels: &[Panel]) -> String {
    let axis = Axis::of(panels);
    let tops: Vec<f64> = panels
        .iter()
        .scan(HEAD + 30.0, |top, _| {
            let here = *top;
            *top += PANEL + GAP;
            Some(here)
        })
        .collect();
    let bottom = tops.last().map_or(HEAD, |top| top + PANEL);
    let height = bottom + FOOT;
    let drawing = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 " (WIDTH) " " (coordinate(height)) } role="img"
            aria-labelledby="title description" font-family="system-ui, sans-serif" font-size="12.5" fill="#26302f" {
            title id="title" { (title) }
            desc id="description" { (description) }
            rect width=(WIDTH) height=(coordinate(height)) fill="#faf8f2" {}
            text x=(coordinate(LEFT)) y="34" font-size="16" font-weight="600" { (title) }
            @for (shown, top) in panels.iter().zip(&tops) { (panel(shown, &axis, *top)) }
            @for (frequency, label) in axis.ticks() {
                text x=(coordinate(axis.x(frequency))) y=(coordinate(bottom + 20.0)) text-anchor="middle" { (label) }
            }
            text x=(coordinate(LEFT + (WIDTH - LEFT - RIGHT) / 2.0)) y=(coordinate(bottom + 42.0)) text-anchor="middle" { "frequency, Hz" }
        }
    };
    format!("{}\n", drawing.into_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_escaped_and_described() {
        let drawing = svg(
            "<b>&",
            "what it shows",
            &[Panel {
                label: "loss".to_owned(),
                curves: vec![Curve {
                    name: "a".to_owned(),
                    points: vec![(20.0, 0.1), (20.0e3, 0.2)],
                }],
                mark: Some((0.2, "budget".to_owned())),
            }],
        );
        assert!(drawing.contains("&lt;b&gt;&amp;"));
        assert!(!drawing.contains("<b>"));
        assert!(drawing.contains("<desc id=\"description\">what it shows</desc>"));
        assert!(!drawing.contains("NaN"));
        // Every element is closed, as XML asks.
        assert_eq!(
            drawing.matches("</").count() * 2,
            drawing.matches('<').count()
        );
    }

    #[test]
    fn the_frequency_axis_is_logarithmic() {
        let axis = Axis {
            low: 20.0,
            high: 20.0e3,
        };
        let decade = axis.x(200.0) - axis.x(20.0);
        assert!((axis.x(2.0e3) - axis.x(200.0) - decade).abs() < 1e-9);
        assert!(axis.ticks().iter().any(|(_, label)| label == "1 k"));
    }

    #[test]
    fn steps_are_round() {
        assert!((step(1.0) - 0.2).abs() < 1e-12);
        assert_eq!(tick_label(0.25, 0.05), "0.25");
    }
}
