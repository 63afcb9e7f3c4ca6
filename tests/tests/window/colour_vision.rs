//! Colours that mean different things stay apart for people with colour-vision deficiency: simulated from the theme data.

use bevelbench::{
    model::appearance::{Mode, Tone, TypeScale},
    toolkit::theme::Theme,
};
use bevelbench_notebook::drawing::{Role, Standing};
use egui::Color32;

/// Linear-light matrices for complete protanopia, deuteranopia and tritanopia.
/// Source: Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision
/// deficiency", table of severity 1.0 (from memory of the published table).
const DEFICIENCIES: [(&str, [[f64; 3]; 3]); 3] = [
    (
        "protanopia",
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
    ),
    (
        "deuteranopia",
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
    ),
    (
        "tritanopia",
        [
            [1.255_528, -0.076_749, -0.178_779],
            [-0.078_411, 0.930_809, 0.147_602],
            [0.004_733, 0.691_367, 0.303_900],
        ],
    ),
];

fn linear(colour: Color32) -> [f64; 3] {
    [colour.r(), colour.g(), colour.b()].map(|c| {
        let c = f64::from(c) / 255.0;
        if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    })
}

fn seen(rgb: [f64; 3], matrix: &[[f64; 3]; 3]) -> [f64; 3] {
    matrix.map(|row| row.iter().zip(rgb).map(|(m, c)| m * c).sum::<f64>().clamp(0.0, 1.0))
}

/// CIE 1976 L*a*b* under D65 (IEC 61966-2-1 primaries).
fn lab(rgb: [f64; 3]) -> [f64; 3] {
    let [r, g, b] = rgb;
    let xyz = [
        (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.950_47,
        0.2126 * r + 0.7152 * g + 0.0722 * b,
        (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.088_83,
    ]
    .map(|t| if t > 0.008_856 { t.cbrt() } else { 7.787 * t + 16.0 / 116.0 });
    [116.0 * xyz[1] - 16.0, 500.0 * (xyz[0] - xyz[1]), 200.0 * (xyz[1] - xyz[2])]
}

fn apart(one: Color32, other: Color32, matrix: &[[f64; 3]; 3]) -> f64 {
    let [a, b] = [one, other].map(|colour| lab(seen(linear(colour), matrix)));
    a.iter().zip(b).map(|(x, y)| (x - y).powi(2)).sum::<f64>().sqrt()
}

/// Well above the 2.3 that is just noticeable side by side: thin lines need far more.
const LEAST: f64 = 12.0;

#[test]
fn colours_that_mean_different_things_stay_apart() {
    for mode in [Mode::Light, Mode::Dark] {
        let theme = Theme::new(mode, TypeScale::Ordinary);
        let ink = |role| theme.ink(role, Standing::Solid).stroke;
        let pairs = [
            ("contact and trouble", theme.palette.positive, theme.palette.negative),
            ("what moves and trouble", theme.palette.accent, theme.palette.negative),
            ("first and second bar", theme.palette.accent, theme.palette.accent_soft),
            ("good and bad words", theme.tone(Tone::Good), theme.tone(Tone::Bad)),
            ("good and cautious words", theme.tone(Tone::Good), theme.tone(Tone::Caution)),
            ("facet and ink", ink(Role::Facet), ink(Role::Ink)),
            ("gauge and bevel", ink(Role::Gauge), ink(Role::AngleArc)),
        ];
        // What is distinguished by its line need not be by its colour.
        let dash = |role, standing| theme.ink(role, standing).dash;
        let solid = Standing::Solid;
        assert_ne!(dash(Role::Facet, solid), dash(Role::FacetPresent, solid), "facet and facet as it is");
        assert_ne!(dash(Role::Tool, solid), dash(Role::Tool, Standing::Second), "A and B");
        for (name, matrix) in &DEFICIENCIES {
            for (what, one, other) in pairs {
                let distance = apart(one, other, matrix);
                assert!(distance >= LEAST, "{mode:?}, {name}: {what} are {distance:.1} apart");
            }
        }
    }
}

#[test]
fn the_simulation_makes_red_and_green_alike_and_leaves_grey_alone() {
    let (name, deuteranopia) = &DEFICIENCIES[1];
    let (red, green) = (Color32::from_rgb(170, 85, 60), Color32::from_rgb(110, 110, 60));
    let plain = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    assert!(apart(red, green, deuteranopia) < 0.5 * apart(red, green, &plain), "{name}");
    for (name, matrix) in &DEFICIENCIES {
        let grey = linear(Color32::from_gray(128));
        let moved = seen(grey, matrix).iter().zip(grey).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(moved < 1e-3, "{name}: {moved}");
    }
}
