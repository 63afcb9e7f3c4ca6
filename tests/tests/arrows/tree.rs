//! The files of a crate and what each takes from which other.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

use super::reader::{Import, Read, read};

/// A crate's files by their module path.
pub(crate) struct Tree {
    files: BTreeMap<Vec<String>, File>,
}

struct File {
    path: PathBuf,
    read: Read,
}

/// One file that takes names from another.
#[derive(Debug, Default)]
pub(crate) struct Arrows(pub(crate) BTreeMap<(String, String), BTreeSet<String>>);

impl Tree {
    /// Reads a crate from its `lib.rs` on.
    pub(crate) fn of(src: &Path) -> Self {
        let mut tree = Self { files: BTreeMap::new() };
        tree.add(Vec::new(), src.join("lib.rs"));
        tree
    }

    fn add(&mut self, module: Vec<String>, path: PathBuf) {
        let read = read(&fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display())));
        let folder = match path.file_stem().and_then(|stem| stem.to_str()) {
            Some("lib" | "mod") => path.parent().unwrap().to_owned(),
            _ => path.with_extension(""),
        };
        for child in &read.modules {
            let flat = folder.join(format!("{child}.rs"));
            let file = if flat.exists() { flat } else { folder.join(child).join("mod.rs") };
            self.add([module.clone(), vec![child.clone()]].concat(), file);
        }
        self.files.insert(module, File { path, read });
    }

    /// Every file with the words of its code.
    pub(crate) fn words(&self) -> impl Iterator<Item = (&Vec<String>, &Path, &Read)> {
        self.files.iter().map(|(module, file)| (module, file.path.as_path(), &file.read))
    }

    /// What each file takes from which other, through whatever hands it on.
    pub(crate) fn arrows(&self) -> Arrows {
        let mut arrows = Arrows::default();
        for (module, file) in &self.files {
            let imported = file
                .read
                .imports
                .iter()
                .filter(|i| !i.handed_on || file.read.words.contains(&i.name))
                .map(|i| i.path.clone());
            for path in imported.chain(file.read.paths.iter().cloned()) {
                let Some(absolute) = self.absolute(module, &path) else { continue };
                if let Some((home, name)) = self.home(&absolute, 0)
                    && home != *module
                {
                    let key = (label(module), label(&home));
                    arrows.0.entry(key).or_default().insert(name);
                }
            }
        }
        arrows
    }

    /// The path from the crate's root, where it leads into the crate.
    fn absolute(&self, module: &[String], path: &[String]) -> Option<Vec<String>> {
        let mut from = module.to_vec();
        match path[0].as_str() {
            "crate" => return Some(path[1..].to_vec()),
            "self" => return Some([from, path[1..].to_vec()].concat()),
            "super" => {
                let ups = path.iter().take_while(|segment| *segment == "super").count();
                from.truncate(from.len().checked_sub(ups)?);
                return Some([from, path[ups..].to_vec()].concat());
            }
            _ => {}
        }
        let file = &self.files[module];
        if let Some(import) = file.read.imports.iter().find(|i| i.name == path[0] && i.path[0] != path[0]) {
            let start = self.absolute(module, &import.path)?;
            return Some([start, path[1..].to_vec()].concat());
        }
        let child = [module, &path[..1]].concat();
        self.files.contains_key(&child).then(|| [module, path].concat())
    }

    /// The file in which a path's first name that is no module is defined.
    fn home(&self, path: &[String], depth: usize) -> Option<(Vec<String>, String)> {
        let modules = (0..=path.len()).rev().find(|n| self.files.contains_key(&path[..*n]))?;
        let module = &path[..modules];
        let name = path.get(modules)?;
        let file = &self.files[module];
        if depth > 8 || file.read.defined.contains(name) {
            return Some((module.to_vec(), name.clone()));
        }
        let onward = |import: &Import| {
            let mut to = self.absolute(module, &import.path)?;
            if import.name == "*" {
                to.pop();
                to.push(name.clone());
                let (home, found) = self.home(&to, depth + 1)?;
                return self.files[&home].read.defined.contains(&found).then_some((home, found));
            }
            self.home(&to, depth + 1)
        };
        let named = file.read.imports.iter().find(|i| i.name == *name);
        if let Some(import) = named {
            return onward(import);
        }
        file.read
            .imports
            .iter()
            .filter(|i| i.name == "*")
            .find_map(onward)
            .or_else(|| Some((module.to_vec(), name.clone())))
    }
}

fn label(module: &[String]) -> String {
    if module.is_empty() { "the front page".to_owned() } else { module.join("::") }
}

impl Arrows {
    /// Groups of files that lead back to themselves.
    pub(crate) fn circles(&self) -> Vec<BTreeSet<&str>> {
        let mut onward: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (from, to) in self.0.keys() {
            onward.entry(from).or_default().push(to);
        }
        let reached: BTreeMap<&str, BTreeSet<&str>> = onward
            .keys()
            .map(|start| {
                let (mut seen, mut todo) = (BTreeSet::new(), vec![*start]);
                while let Some(at) = todo.pop() {
                    for to in onward.get(at).into_iter().flatten() {
                        if seen.insert(*to) {
                            todo.push(to);
                        }
                    }
                }
                (*start, seen)
            })
            .collect();
        let mut circles: Vec<BTreeSet<&str>> = reached
            .iter()
            .filter(|(file, seen)| seen.contains(*file))
            .map(|(file, seen)| {
                seen.iter()
                    .filter(|other| reached.get(*other).is_some_and(|back| back.contains(file)))
                    .copied()
                    .collect()
            })
            .collect();
        circles.sort();
        circles.dedup();
        circles
    }

    /// The arrows within a group, in words.
    pub(crate) fn within(&self, group: &BTreeSet<&str>) -> String {
        self.0
            .iter()
            .filter(|((from, to), _)| group.contains(from.as_str()) && group.contains(to.as_str()))
            .map(|((from, to), names)| {
                let names: Vec<_> = names.iter().map(String::as_str).collect();
                format!("  {from} -> {to}: {}", names.join(", "))
            })
            .collect::<Vec<_>>()
            .join("\n")
    }
}
