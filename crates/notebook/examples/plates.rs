//! Draws a set of round-numbered jobs into PNG and SVG files of the folder given, to be looked at.

use std::{env, error::Error, fs, path::PathBuf};

use bevelbench_notebook::{
    drawing::{
        Bounds, Drawing,
        png::png,
        side_view::{
            SideLook, attempt_view, blank_section, focus, loupe_centre_and_radius, loupe_view, side_view,
            tool_outline,
        },
        svg::{Sheet, svg},
    },
    quantity::format_angle,
};

#[path = "../tests/drawing/sample/mod.rs"]
mod sample;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = env::args_os().nth(1).map_or_else(|| PathBuf::from("plates"), PathBuf::from);
    fs::create_dir_all(&folder)?;
    let write = |name: &str, drawing: &Drawing, caption: String, window: Option<Bounds>, width_mm: f64| {
        let sheet = Sheet {
            title: name.replace('_', " "),
            caption: vec![caption],
            width_mm,
            window,
            ..Sheet::default()
        };
        let text = svg(drawing, &sheet);
        fs::write(folder.join(format!("{name}.svg")), &text)?;
        fs::write(folder.join(format!("{name}.png")), png(&text, 6.0)?)?;
        Ok::<(), Box<dyn Error>>(())
    };
    let length = |mm: f64| format!("{mm:.1} mm");
    let fine = |mm: f64| format!("{mm:.2} mm");
    for (name, job) in sample::answered() {
        let rolled = matches!(name, "holder_60" | "holder_85");
        let look = SideLook { roll_centre_mm: rolled.then_some(0.0), ..SideLook::new(&length, &fine) };
        match job.evaluate() {
            Ok(view) => {
                let caption = format!("bevel {}", format_angle(view.bevel().degrees(), 1));
                let window = focus(&job, Some(&view)).map(|bounds| bounds.grown(10.0));
                write(name, &side_view(&job, &view, &look), caption.clone(), window, 200.0)?;
                let (centre, radius) = loupe_centre_and_radius(&job, &view, &look);
                let window = Bounds { min: centre, max: centre }.grown(radius);
                let loupe = loupe_view(&job, &view, &look, 0.01);
                write(&format!("loupe_{name}"), &loupe, caption, Some(window), 100.0)?;
            }
            Err(refusal) => write(name, &attempt_view(&job, &look), refusal.to_string(), None, 200.0)?,
        }
    }
    for (name, job) in sample::refused() {
        let look = SideLook::new(&length, &fine);
        let why = job.evaluate().map_or_else(|refusal| refusal.to_string(), |_| "HAS AN ANSWER".to_owned());
        write(&format!("no_{name}"), &attempt_view(&job, &look), why, None, 160.0)?;
    }
    for (name, tool) in sample::tools() {
        let bevel = bevelbench_geometry::math::Angle::from_degrees(45.0);
        write(&format!("outline_{name}"), &tool_outline(&tool, bevel), String::new(), None, 60.0)?;
        write(&format!("section_{name}"), &blank_section(tool.blank()), String::new(), None, 60.0)?;
    }
    Ok(())
}
