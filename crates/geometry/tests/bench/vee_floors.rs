//! The floor of a vee flute, with a radius and without one.

use bevelbench_geometry::{
    DVec2,
    parts::{Flute, FluteShape},
};

/// A vee with no radius at its floor has no slope of its own there; by its symmetry it is reported as level.
#[test]
fn the_floor_of_a_sharp_vee_is_level() {
    for floor_radius_mm in [0.0, 1.5] {
        let flute = Flute::new(FluteShape::Vee { slope: 1.2, floor_radius_mm }, -3.0, 16.0, 8.0).unwrap();
        assert_eq!(flute.slope_at(0.0).to_bits(), 0.0_f64.to_bits());
        assert!((flute.normal_at(0.0) - DVec2::Y).length() < 1e-15);
    }
}
