//! What a frame of the window costs while something is dragged, page by page, and beside it a frame of the toolkit's own
//! demo, in one run. From the pointer's movement to triangles; handing them to the graphics card is not counted, for
//! neither. Prints a table in Markdown. On a machine shared with other work the 99th percentile holds their turns on the
//! processor too; the demo's tells how much.

use std::time::Instant;

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::app::App,
};
use bevelbench_notebook::saved::library::demo_bench;
use egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect, pos2, vec2};
use egui_demo_lib::DemoWindows;

type Fault = Box<dyn std::error::Error>;

const FRAMES: usize = 600;
const ROUNDS: usize = 3;

/// A page, what of it is opened, and where its tab stands.
const PAGES: [(&str, Page, Option<Pos2>); 12] = [
    ("side view", Page::Side, None),
    ("tip", Page::Tip, None),
    ("curves", Page::Curves, None),
    ("pair, side views", Page::Pair, None),
    ("pair, tips with their gap", Page::Pair, Some(pos2(370.0, 65.0))),
    ("pair, edge curves", Page::Pair, Some(pos2(460.0, 65.0))),
    ("find", Page::Find, None),
    ("keep", Page::Keep, None),
    ("lesson", Page::Lesson, None),
    ("tool", Page::Tool, None),
    ("rig", Page::Rig, None),
    ("print", Page::Print, None),
];

fn main() -> Result<(), Fault> {
    let mut demo = Vec::new();
    let mut pages: Vec<(Vec<f64>, bool)> = vec![(Vec::new(), true); PAGES.len()];
    // Round after round, so that every row meets the same company on the machine.
    for _ in 0..ROUNDS {
        demo.extend(demo_frames());
        for (page, (times, drags)) in PAGES.iter().zip(&mut pages) {
            let (found, dragged) = frames(page)?;
            times.extend(found);
            *drags &= dragged;
        }
    }
    let (demo_median, demo_last) = figures(&mut demo);
    println!("| a frame of | what moves | median, ms | 99th percentile, ms | of the demo's 99th |");
    println!("|---|---|---|---|---|");
    println!("| the toolkit's demo | the pointer | {demo_median:.2} | {demo_last:.2} | 1.0 |");
    for ((name, ..), (times, drags)) in PAGES.iter().zip(&mut pages) {
        let (median, last) = figures(times);
        let moves = if *drags { "a slider" } else { "the pointer" };
        println!("| {name} | {moves} | {median:.2} | {last:.2} | {:.1} |", last / demo_last);
    }
    Ok(())
}

/// Median and 99th percentile, in milliseconds.
fn figures(times: &mut [f64]) -> (f64, f64) {
    times.sort_by(f64::total_cmp);
    (times[times.len() / 2], times[times.len() * 99 / 100])
}

fn screen(events: Vec<Event>) -> RawInput {
    RawInput {
        screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0))),
        events,
        ..RawInput::default()
    }
}

fn press(pressed: bool, pos: Pos2) -> Event {
    Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE }
}

fn demo_frames() -> Vec<f64> {
    let ctx = egui::Context::default();
    let mut windows = DemoWindows::default();
    let mut frame = |step: f32| {
        let output =
            ctx.run_ui(screen(vec![Event::PointerMoved(pos2(600.0 + step, 400.0))]), |ui| windows.ui(ui));
        ctx.tessellate(output.shapes, output.pixels_per_point).len()
    };
    timed(&mut frame)
}

fn timed(frame: &mut impl FnMut(f32) -> usize) -> Vec<f64> {
    for i in 0..20 {
        frame((i % 40) as f32);
    }
    (0..FRAMES)
        .map(|i| {
            let start = Instant::now();
            std::hint::black_box(frame((i % 40) as f32));
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect()
}

/// Milliseconds of each frame, and whether a slider was dragged.
fn frames(&(name, page, tab): &(&str, Page, Option<Pos2>)) -> Result<(Vec<f64>, bool), Fault> {
    let mut bench = demo_bench().map_err(|why| format!("{why:?}"))?;
    bench.current = bench.setting_named("Swept, keeping wheel").cloned();
    bench.beside = bench.setting_named("Swept, shaping wheel").cloned();
    let prefs = Prefs { tour_seen: true, page, ..Prefs::default() };
    let mut app = App::new(Keeper::nowhere(bench), prefs);
    let ctx = egui::Context::default();
    let mut frame = |events: Vec<Event>| {
        let mut output = ctx.run_ui(screen(events), |ui| app.show(ui));
        output.textures_delta.set.clear();
        (ctx.tessellate(output.shapes, output.pixels_per_point).len(), app.session().revision())
    };
    for _ in 0..3 {
        frame(Vec::new());
    }
    if let Some(tab) = tab {
        let (before, _) = frame(Vec::new());
        frame(vec![Event::PointerMoved(tab)]);
        frame(vec![press(true, tab)]);
        frame(vec![press(false, tab)]);
        let (after, _) = frame(Vec::new());
        if before == after {
            return Err(format!("{name}: the tab was not where it was looked for").into());
        }
    }
    let editing = matches!(page, Page::Tool | Page::Rig | Page::Print);
    // A knob of the settings at the right, or nothing to hold in the middle of a page that edits.
    let knob = if editing { None } else { knob(&mut frame) };
    let at = knob.unwrap_or(pos2(640.0, 420.0));
    frame(vec![Event::PointerMoved(at)]);
    if knob.is_some() {
        frame(vec![press(true, at)]);
    }
    let (_, before) = frame(Vec::new());
    let times = timed(&mut |step| frame(vec![Event::PointerMoved(at + vec2(step, 0.0))]).0);
    let (_, after) = frame(if knob.is_some() { vec![press(false, at)] } else { Vec::new() });
    if knob.is_some() && after < before + 10 {
        return Err(format!("{name}: the slider did not move").into());
    }
    Ok((times, knob.is_some()))
}

/// Where a slider of the settings can be held: a place where pressing and moving turns something.
fn knob(frame: &mut impl FnMut(Vec<Event>) -> (usize, u64)) -> Option<Pos2> {
    (0..120).map(|i| pos2(1100.0, 269.0 + 4.0 * i as f32)).find(|at| {
        let (_, before) = frame(vec![Event::PointerMoved(*at)]);
        frame(vec![press(true, *at)]);
        for step in 1..4 {
            frame(vec![Event::PointerMoved(*at + vec2(3.0 * step as f32, 0.0))]);
        }
        let (_, during) = frame(Vec::new());
        frame(vec![press(false, *at)]);
        frame(Vec::new());
        during > before + 1
    })
}
