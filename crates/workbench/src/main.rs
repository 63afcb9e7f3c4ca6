//! The program: without a subcommand it opens the window, with one it does that and ends.

mod closed_output;

use std::{io, path::Path, process::ExitCode, time::Instant};

use bevelbench::{
    command::{Command, STOPPED},
    model::keeper::{self, Keeper},
    shell::{
        app::App,
        first_frame::{self, Timed},
        window,
    },
};

fn main() -> ExitCode {
    let started = Instant::now();
    match Command::parse(std::env::args_os().skip(1)) {
        Ok(Command::OpenWindow { file }) => open_window(file.as_deref(), started),
        Ok(Command::Run(subcommand)) => {
            subcommand.run(&mut *closed_output::standard_output(), &mut io::stderr().lock()).into()
        }
        Err(usage) => report_error(&usage.to_string()),
    }
}

fn open_window(file: Option<&Path>, started: Instant) -> ExitCode {
    // A file that cannot be read is reported before a window is opened on something else.
    if let Some(Err(why)) = file.map(keeper::read) {
        return report_error(&why);
    }
    let prefs = keeper::prefs();
    let size = prefs.window;
    let file = file.map(Path::to_owned);
    let opened = window::run_native(
        size,
        Box::new(move |cc| {
            let ctx = cc.egui_ctx.clone();
            let wake: Box<dyn Fn() + Send> = Box::new(move || ctx.request_repaint());
            let keeper = match file {
                Some(path) => Keeper::file(&path, Some(wake))?,
                None => Keeper::own(Some(wake)),
            };
            let mut app = App::new(keeper, prefs);
            app.close_on_signal(window::closes_on_signal(&cc.egui_ctx));
            Ok(match std::env::var_os(first_frame::VARIABLE) {
                Some(_) => Box::new(Timed::new(app, started)),
                None => Box::new(app),
            })
        }),
    );
    match opened {
        Ok(()) => ExitCode::SUCCESS,
        Err(reason) => report_error(&reason.to_string()),
    }
}

fn report_error(words: &str) -> ExitCode {
    eprintln!("{words}");
    ExitCode::from(STOPPED)
}
