//! Prints as files on disk: one PDF, or a picture a page; whole or not at all.

use std::path::{Path, PathBuf};

use crate::{
    paper::printing::{FileKind, NotMade, Print, Progress},
    saved::{
        Bench,
        file::write_bench,
        share::{Shared, shared},
    },
    store,
};

/// Dots an inch of a picture, unless another number is asked for.
pub const DPI: f64 = 300.0;

/// Which kind of file a path's ending asks for.
///
/// # Errors
/// The words that name the endings there are.
pub fn kind_of(path: &Path, dpi: f64) -> Result<FileKind, String> {
    match path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).as_deref() {
        Some("pdf") => Ok(FileKind::Pdf),
        Some("svg") => Ok(FileKind::Svg),
        Some("png") => Ok(FileKind::Png { dpi }),
        _ => Err(format!("“{}” should end in .pdf, .svg or .png.", path.display())),
    }
}

/// Where the files of a print go: the path itself, or one a page with its number behind the name.
#[must_use]
pub fn places(path: &Path, count: usize) -> Vec<PathBuf> {
    if count == 1 {
        return vec![path.to_owned()];
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    let wide = count.to_string().len();
    (1..=count).map(|page| path.with_file_name(format!("{stem}-{page:0wide$}.{ending}"))).collect()
}

/// Writes a print where the path says; gives back the files. Everything is made in memory first, and each file appears
/// whole or not at all.
///
/// # Errors
/// The words that say why not and what to do.
pub fn write(print: &Print, path: &Path, dpi: f64, progress: Progress<'_>) -> Result<Vec<PathBuf>, String> {
    let kind = kind_of(path, dpi)?;
    let files = print.files(kind, progress).map_err(|error| error.to_string())?;
    if !progress(1.0) {
        return Err(NotMade::CalledOff.to_string());
    }
    let places = places(path, files.len());
    for (place, bytes) in places.iter().zip(&files) {
        store::write_bytes(place, bytes).map_err(|error| error.to_string())?;
    }
    Ok(places)
}

/// Writes one part of a bench as a small bench file into a folder, under a name that is not taken; gives back where.
///
/// # Errors
/// The words that say why not and what to do.
pub fn hand_on(bench: &Bench, what: Shared, folder: &Path) -> Result<PathBuf, String> {
    let small = shared(bench, what).ok_or_else(|| {
        "Part of what it needs is no longer on the bench: choose another setting.".to_owned()
    })?;
    let text = write_bench(&small)?;
    let stem = store::file_stem_from_name(&small.title);
    let free = (1..1000)
        .map(|number| if number == 1 { stem.clone() } else { format!("{stem}-{number}") })
        .map(|stem| folder.join(format!("{stem}.bench.ron")))
        .find(|path| !path.exists());
    let path =
        free.ok_or_else(|| format!("There is no free name left for “{stem}” in {}.", folder.display()))?;
    store::write_text(&path, &text).map_err(|error| error.to_string())?;
    Ok(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_has_its_number_only_where_there_are_several() {
        assert_eq!(places(Path::new("a/cards.pdf"), 1), [PathBuf::from("a/cards.pdf")]);
        let several = places(Path::new("a/cards.svg"), 12);
        assert_eq!(
            (several[0].as_path(), several[11].as_path()),
            (Path::new("a/cards-01.svg"), Path::new("a/cards-12.svg"))
        );
        assert!(kind_of(Path::new("cards.docx"), DPI).is_err());
    }
}
