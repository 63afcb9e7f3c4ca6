//! The orders the window understands: one table that feeds keys, menus, tooltips and help.

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::model::prefs::Page;

/// Something the window can be told to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Order {
    /// Undo the last step.
    Undo,
    /// Do the undone step again.
    Redo,
    /// Save the current setting to its tool.
    Save,
    /// Save the current setting as a new one.
    SaveAs,
    /// Open another bench file.
    Open,
    /// Save the whole bench to another file.
    SaveBenchAs,
    /// Take tools, rigs and settings over from a file.
    Import,
    /// Write a copy of the bench to a file, and go on in the present one.
    Export,
    /// Save what is shown as a picture.
    Picture,
    /// Hand a picture of what is shown to other programs.
    CopyPicture,
    /// Show the whole bench.
    Fit,
    /// Enlarge.
    ZoomIn,
    /// Reduce.
    ZoomOut,
    /// The page for the grinder.
    AtGrinder,
    /// Drawing and numbers for the back row.
    BigType,
    /// Light or dark.
    Dark,
    /// The next unit of lengths.
    Unit,
    /// Help and keys.
    Help,
    /// Another page.
    Page(Page),
}

/// One line of the table.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// The order.
    pub order: Order,
    /// Its name.
    pub name: &'static str,
    /// What it does.
    pub what: &'static str,
    /// Its key.
    pub key: Option<KeyboardShortcut>,
}

const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

const fn command(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn command_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

/// Every order. Longer chords come before the shorter ones they contain.
pub const TABLE: [Entry; 28] = [
    Entry {
        order: Order::Redo,
        name: "Redo",
        what: "do the undone step again",
        key: Some(command_shift(Key::Z)),
    },
    Entry {
        order: Order::Undo,
        name: "Undo",
        what: "take the last step back, whatever it was",
        key: Some(command(Key::Z)),
    },
    Entry {
        order: Order::SaveAs,
        name: "Save setting as…",
        what: "save what is set as a new setting of the tool",
        key: Some(command_shift(Key::S)),
    },
    Entry {
        order: Order::Save,
        name: "Save setting",
        what: "save what is set to the setting in hand",
        key: Some(command(Key::S)),
    },
    Entry {
        order: Order::Open,
        name: "Open bench…",
        what: "open another bench file",
        key: Some(command(Key::O)),
    },
    Entry {
        order: Order::SaveBenchAs,
        name: "Save bench as…",
        what: "save the whole bench to another file and go on in that",
        key: None,
    },
    Entry {
        order: Order::Import,
        name: "Import…",
        what: "take tools, rigs and settings over from another file",
        key: Some(command(Key::I)),
    },
    Entry {
        order: Order::Export,
        name: "Export…",
        what: "write a copy of the bench to a file, and go on in this one",
        key: Some(command_shift(Key::E)),
    },
    Entry {
        order: Order::Picture,
        name: "Save picture…",
        what: "save what is shown as SVG or PNG",
        key: Some(command(Key::E)),
    },
    Entry {
        order: Order::CopyPicture,
        name: "Copy picture",
        what: "hand what is shown to other programs, to be pasted there",
        key: Some(plain(Key::C)),
    },
    Entry { order: Order::Fit, name: "Fit", what: "show the whole bench", key: Some(plain(Key::F)) },
    Entry {
        order: Order::ZoomIn,
        name: "Enlarge",
        what: "look closer (or turn the mouse wheel)",
        key: Some(plain(Key::Plus)),
    },
    Entry {
        order: Order::ZoomOut,
        name: "Reduce",
        what: "look from further off",
        key: Some(plain(Key::Minus)),
    },
    Entry {
        order: Order::AtGrinder,
        name: "At the grinder",
        what: "the setting in hand as big numbers to be ticked off",
        key: Some(plain(Key::G)),
    },
    Entry {
        order: Order::BigType,
        name: "Big type",
        what: "drawing and chosen numbers for the back row",
        key: Some(plain(Key::B)),
    },
    Entry {
        order: Order::Dark,
        name: "Light or dark",
        what: "change the window’s look",
        key: Some(command(Key::D)),
    },
    Entry {
        order: Order::Unit,
        name: "Unit",
        what: "millimetres, decimal inches, fractions of an inch",
        key: Some(command(Key::U)),
    },
    Entry { order: Order::Help, name: "Help", what: "this page", key: Some(plain(Key::F1)) },
    Entry {
        order: Order::Page(Page::Side),
        name: "Side",
        what: "the bench from the side",
        key: Some(command(Key::Num1)),
    },
    Entry {
        order: Order::Page(Page::Tip),
        name: "Tip",
        what: "the ground tip in three dimensions",
        key: Some(command(Key::Num2)),
    },
    Entry {
        order: Order::Page(Page::Curves),
        name: "Curves",
        what: "what changes along the edge",
        key: Some(command(Key::Num3)),
    },
    Entry {
        order: Order::Page(Page::Pair),
        name: "Pair",
        what: "two settings side by side, and what if",
        key: Some(command(Key::Num4)),
    },
    Entry {
        order: Order::Page(Page::Find),
        name: "Find",
        what: "what to set for a bevel, and what a tool is ground to",
        key: Some(command(Key::Num5)),
    },
    Entry {
        order: Order::Page(Page::Keep),
        name: "Keep",
        what: "wear, other benches, second bevels, cost, safety, the log",
        key: Some(command(Key::Num6)),
    },
    Entry {
        order: Order::Page(Page::Lesson),
        name: "Lesson",
        what: "lessons, built and shown step by step",
        key: Some(command(Key::Num7)),
    },
    Entry {
        order: Order::Page(Page::Tool),
        name: "Tool",
        what: "the tool’s steel and its dimensions",
        key: Some(command(Key::Num8)),
    },
    Entry {
        order: Order::Page(Page::Rig),
        name: "Rig",
        what: "grinder, wheels, arms, tables, holders",
        key: Some(command(Key::Num9)),
    },
    Entry {
        order: Order::Page(Page::Print),
        name: "Print",
        what: "cards, charts and gauges on paper",
        key: Some(command(Key::P)),
    },
];

/// The table's line for an order.
#[must_use]
pub fn entry(order: Order) -> Option<&'static Entry> {
    TABLE.iter().find(|entry| entry.order == order)
}

/// The order whose key was pressed in this frame. Keys without a modifier are left alone while something is being
/// typed.
#[must_use]
pub fn pressed(ctx: &egui::Context) -> Option<Order> {
    // A handle or a slider that has the focus types nothing.
    let typing = ctx.text_edit_focused();
    TABLE.iter().find_map(|entry| {
        let key = entry.key?;
        let bare = key.modifiers == Modifiers::NONE && key.logical_key != Key::F1;
        if bare && typing {
            return None;
        }
        ctx.input_mut(|input| input.consume_shortcut(&key)).then_some(entry.order)
    })
}
