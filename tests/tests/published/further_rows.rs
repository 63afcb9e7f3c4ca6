//! Further published rows: areas of segments and triangles as what a regrind takes, chords, tapers as bevels, the rim's
//! way in an hour, and rules in words. The row's id stands beside each check.

use bevelbench_geometry::{
    facet::Regrind,
    math::Angle,
    parts::{
        Bevels, Blank, Face, FlatKind, FlatStock, GapLimits, Hollow, PresentFacet, Section, most_turns_rpm,
        safety::{MOST_EXPOSURE, MOST_EXPOSURE_BELOW},
    },
    side::{Caution, Facet, hollow_under_chord_mm},
};
use bevelbench_notebook::words::{caution_words, safety::plain_cautions};
use bevelbench_tests::published::{Row, near, row, source as source_of};

const INCH_MM: f64 = 25.4;
const FLAT: Face = Face::Flat { normal: Angle::ZERO };

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

/// C10, C11, C13, C14, C16, C17: areas of circular segments of radius 1, as what is taken when a flat facet is ground
/// hollow between the same edge and heel; on a wheel of 200 mm.
#[test]
fn ground_hollow_takes_the_published_segment() {
    let radius_mm = 100.0;
    let face = Face::Round { radius_mm };
    for id in ["C10", "C11", "C13", "C14", "C16", "C17"] {
        let Row { inputs, expected, tolerance } = row(id);
        // `1/128 (printed 0.007812)` is given as a fraction.
        let height = if inputs.len() > 1 { inputs[0] / inputs[1] } else { inputs[0] };
        let chord = 2.0 * (height * (2.0 - height)).sqrt() * radius_mm;
        near(hollow_under_chord_mm(radius_mm, chord).unwrap() / radius_mm, height, 1e-12, id);
        let across = degrees(85.0);
        let old = PresentFacet::new(Hollow::Flat, across, chord).unwrap();
        let under_mm = chord * across.sin();
        let at_edge = Facet::edge_bevel_for_across(face, across, under_mm).unwrap();
        let new = Facet::ground(face, at_edge, under_mm).unwrap();
        near(new.width_mm, chord, 1e-9, id);
        let regrind = Regrind::new(&old, &new, face, under_mm);
        near(regrind.length_lost_mm(), 0.0, 1e-9, id);
        near(regrind.removed_mm2(0.0) / (radius_mm * radius_mm), expected[0], tolerance[0], id);
    }
}

/// T16: Heron's triangle of 18, 21 and 32, as the steel between an old flat facet of 32 and a blunter one of 21: its
/// third side lies on the underside.
#[test]
fn regrind_of_two_flat_facets_takes_the_published_triangle() {
    let Row { inputs, expected, tolerance } = row("T16");
    let [base, short, long] = inputs[..] else { panic!("{inputs:?}") };
    // Where a facet's heel lies, from the other two sides.
    let back = (long * long - short * short - base * base) / (2.0 * base);
    let under_mm = (short * short - back * back).sqrt();
    let old = PresentFacet::new(Hollow::Flat, degrees((under_mm / long).asin().to_degrees()), long).unwrap();
    let blunter = degrees((under_mm / short).asin().to_degrees());
    let new = Facet::ground(FLAT, blunter, under_mm).unwrap();
    near(new.width_mm, short, 1e-9, "T16");
    let regrind = Regrind::new(&old, &new, FLAT, under_mm);
    near(regrind.length_lost_mm(), base, 1e-9, "T16");
    near(regrind.removed_mm2(base), expected[0], tolerance[0], "T16");
}

/// P04: the length of contact `√(D d)` of a cut of 0.05 mm on a wheel of 200 mm, as half the chord over that hollow.
#[test]
fn chord_over_a_shallow_hollow_is_the_published_contact() {
    let Row { inputs, expected, tolerance } = row("P04");
    let hollow = |half: f64| hollow_under_chord_mm(inputs[0] / 2.0, 2.0 * half).unwrap();
    assert!(hollow(expected[0] - tolerance[0]) < inputs[1]);
    assert!(hollow(expected[0] + tolerance[0]) > inputs[1]);
}

/// T21, T22: a taper and a pair of discs are a blade with two like bevels; the included angle is the published one.
#[test]
fn tapers_are_included_angles_of_two_bevels() {
    let blade = |thickness: f64| {
        FlatStock::new(60.0, thickness, Section::Rectangular, FlatKind::Parting { bevels: Bevels::Alike })
            .unwrap()
    };
    // An inch and a half in the foot.
    let Row { inputs, expected, .. } = row("T21");
    let (thickness, length) = (inputs[0] * INCH_MM, 12.0 * INCH_MM);
    let minute = 1.0 / 60.0;
    let bevel = degrees(expected[0] / 2.0);
    near(Blank::Flat(blade(thickness)).included(bevel).unwrap().degrees(), expected[0], 1e-9, "T21");
    let heel = |bevel: Angle| Facet::ground(FLAT, bevel, thickness / 2.0).unwrap().heel_from_edge.x;
    assert!(heel(degrees(f64::midpoint(expected[0], minute))) < length, "T21");
    assert!(heel(degrees(f64::midpoint(expected[0], -minute))) > length, "T21");
    // Discs of 1 and 1.5, five apart: the facet is as wide as they are apart and rises by the difference of radii.
    let Row { inputs, expected, .. } = row("T22");
    let [small, large, apart] = inputs[..] else { panic!("{inputs:?}") };
    let width = |bevel: Angle| Facet::ground(FLAT, bevel, (large - small) / 2.0).unwrap().width_mm;
    assert!(width(degrees(f64::midpoint(expected[0], minute))) < apart, "T22");
    assert!(width(degrees(f64::midpoint(expected[0], -minute))) > apart, "T22");
}

/// V09: a rim of so many metres a second runs so many kilometres in an hour: the turns of an hour laid out in a line.
#[test]
fn rim_runs_the_published_way_in_an_hour() {
    let Row { inputs, expected, tolerance } = row("V09");
    for (speed, way) in inputs.iter().zip(&expected) {
        for diameter_mm in [125.0, 200.0] {
            let turns = 60.0 * most_turns_rpm(*speed, diameter_mm);
            near(turns * std::f64::consts::PI * diameter_mm * 1e-6, *way, tolerance[0], "V09");
        }
    }
}

/// S08, S13, S14: rules of other trades agree with the limits that are used.
#[test]
fn rules_of_other_trades_have_the_same_limits() {
    let [eighth, of] = row("S08").expected[..] else { panic!("S08") };
    near(GapLimits::UNITED_STATES.rest_mm, eighth / of * INCH_MM, 1e-12, "S08");
    let [enclosed, eighth, of] = row("S13").expected[..] else { panic!("S13") };
    near(MOST_EXPOSURE.degrees(), 360.0 - enclosed, 1e-12, "S13");
    near(GapLimits::UNITED_STATES.rest_mm, eighth / of * INCH_MM, 1e-12, "S13");
    near(MOST_EXPOSURE.degrees(), row("S14").expected[0], 1e-12, "S14");
    assert!(MOST_EXPOSURE_BELOW > MOST_EXPOSURE);
}

/// S02, S09, S10, S11, S18, P11: rules in words are reported with their source.
#[test]
fn rules_in_words_are_reported_with_their_source() {
    let reported = plain_cautions(&[]);
    let of = |id: &str, source: &str| {
        assert!(source_of(id).contains(source), "{id}");
        let said = reported.iter().find(|caution| caution.source.contains(source));
        said.unwrap_or_else(|| panic!("{id}: nothing from {source}")).text.clone()
    };
    let rest = of("S02", "29 CFR 1910.215(a)(4)");
    for word in ["Rigid", "clamped", "never moved while the wheel turns"] {
        assert!(rest.contains(word), "S02: {rest}");
    }
    assert!(of("S09", "29 CFR 1926.303(c)(9)").contains("unless a fixed eye shield"), "S09");
    let ring = of("S10", "Mich. R 408.10113(2)");
    let tap = row("S10").expected[0];
    assert!(ring.contains(&format!("{tap}°")), "S10: {ring}");
    assert!(ring.contains("1 to 2 in") && ring.contains("25 to 50 mm"), "S10: {ring}");
    assert!(of("S11", "29 CFR 1910.215(d)(1)").contains("not to be more"), "S11");
    let truing = row("P11").expected[0];
    let light = reported.iter().find(|caution| caution.source.contains("Groover")).unwrap();
    assert!(
        source_of("P11").contains("Groover") && light.text.contains(&format!("{truing} mm")),
        "P11: {light:?}"
    );
    let low = caution_words(&Caution::ContactLow { below_mm: 12.0 }, &|mm| format!("{mm} mm"));
    assert!(source_of("S18").contains("Mich. R 408.10114(1)"), "S18");
    assert!(low.contains("Mich. R 408.10114(1)") && low.contains("level with the spindle"), "S18: {low}");
}
