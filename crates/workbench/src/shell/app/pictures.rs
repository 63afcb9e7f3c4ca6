//! Pictures of what the window shows, to a file or to other programs.

use std::path::Path;

use bevelbench_notebook::{
    drawing::png,
    paper::picture::{self, TipSheet},
};

use crate::{
    model::{appearance::Tone, prefs::Page},
    pages::{
        lesson::Play,
        picture::solid_sheet_of,
        tip::{Preset, no_shape_words},
    },
    shell::{app::App, dialogs::Dialog},
};

/// Pixels a millimetre of a copied picture.
const PIXELS_PER_MM: f64 = 7.0;

impl App {
    /// Asks where to save a picture of what is shown.
    pub(super) fn ask_picture(&mut self) {
        let bench = self.session.bench();
        let lesson = self.playing.as_ref().map(Play::lesson).or_else(|| {
            (self.prefs.page == Page::Lesson && self.big_type.is_none()).then(|| self.lesson.lesson())
        });
        let name = lesson.and_then(|lesson| bench.lessons.get(lesson)).map(|lesson| lesson.title.as_str());
        let name = name.or_else(|| self.session.current().map(|current| current.name.as_str()));
        self.dialog = Some(Dialog::picture(self.keeper.folder(), name.unwrap_or("setting")));
    }

    pub(super) fn save_picture(&mut self, path: &Path) -> Result<(), String> {
        let text = self.picture_of_what_is_shown()?;
        picture::write(path, &text)?;
        self.say(Tone::Good, format!("Picture saved as {}.", path.display()));
        Ok(())
    }

    /// Hands a picture of what is shown to other programs.
    pub(super) fn copy_picture(&mut self, ctx: &egui::Context) {
        let drawn = self
            .picture_of_what_is_shown()
            .and_then(|text| png::pixels(&text, PIXELS_PER_MM).map_err(|error| error.to_string()));
        match drawn {
            Ok(pixels) => {
                let size = [pixels.width, pixels.height];
                ctx.copy_image(egui::ColorImage::from_rgba_premultiplied(size, &pixels.rgba));
                self.say(Tone::Good, "Picture copied: paste it where it is wanted.");
            }
            Err(why) => self.say(Tone::Bad, why),
        }
    }

    /// What is shown now, as an SVG text with title, figures and cautions.
    ///
    /// # Errors
    /// The words that say why there is nothing to draw.
    fn picture_of_what_is_shown(&mut self) -> Result<String, String> {
        let units = self.units();
        if let Some(page) = &self.big_type {
            return page.picture(&self.session, units);
        }
        if let Some(page) = &self.playing {
            return page.picture(self.session.bench());
        }
        match self.prefs.page {
            Page::Tip | Page::Curves => self.picture_of_tip(),
            Page::Pair => self.pair.picture(&self.session, units),
            Page::Lesson => self.lesson.picture(self.session.bench()),
            _ => {
                let (Some(current), Some(outcome)) = (self.session.current(), self.session.outcome()) else {
                    return Err("Nothing in hand to draw.".to_owned());
                };
                let (Some(job), Ok(view)) = (&outcome.job, &outcome.result) else {
                    return Err(
                        "The setting in hand has no answer, so there is nothing to draw yet.".to_owned()
                    );
                };
                Ok(picture::sheet_of(self.session.bench(), current, job, view, units))
            }
        }
    }

    /// The tip as it is turned; square from the side and from above as a drawing with its dimensions. The curves.
    fn picture_of_tip(&mut self) -> Result<String, String> {
        let units = self.units();
        let Some(entry) = self.session.current() else { return Err("Nothing in hand to draw.".to_owned()) };
        match self.tip.shape(&self.session) {
            Some(Ok(_)) => {}
            Some(Err(why)) => return Err(no_shape_words(why, units).together()),
            None => return Err("Nothing in hand to draw.".to_owned()),
        }
        let bench = self.session.bench();
        let sheet = match (self.prefs.page, self.tip.looks_from()) {
            (Page::Curves, _) => Some(TipSheet::Curves),
            (_, Some(Preset::Side)) if !self.tip.shows_wheel() => Some(TipSheet::Side),
            (_, Some(Preset::Plan)) if !self.tip.shows_wheel() => Some(TipSheet::Plan),
            _ => None,
        };
        let name = picture::full_name(bench, entry);
        if sheet.is_none()
            && let Some(on_paper) = self.tip.on_paper("", units)?
            && let Some(Ok(swept)) = self.tip.shape(&self.session)
        {
            return Ok(solid_sheet_of(on_paper, &name, swept, units));
        }
        let Some(Ok(swept)) = self.tip.shape(&self.session) else {
            return Err("Nothing in hand to draw.".to_owned());
        };
        let second = self.curves.second();
        let sheet = sheet.unwrap_or(TipSheet::Side);
        Ok(picture::tip_sheet_of(bench, entry, swept, second, sheet, units))
    }
}
