#!/usr/bin/env python3
"""Remakes the four font files of this folder from full fonts found in given folders.

    python3 -m venv venv && venv/bin/pip install fonttools
    venv/bin/python assets/fonts/remake.py FOLDER_OF_INTER FOLDER_OF_DEJAVU

FOLDER_OF_INTER holds Inter-Regular.otf, Inter-Medium.otf and Inter-SemiBold.otf (version 3.019 was used; the Debian
package fonts-inter has it); FOLDER_OF_DEJAVU holds DejaVuSans.ttf (2.37; Debian package fonts-dejavu-core).

What is changed: only Latin-1, Latin Extended-A and the symbols below stay; digits become tabular, so that a number
does not shake while it changes; the family gets a name of its own, as changed fonts should.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

SYMBOLS = "°′″−±×÷≈≤≥→←↑↓⌀✓⚠•…–—‘’“”½¼¾⅛⅜⅝⅞∞Δβα·√≠▲▼◀▶●○"
LETTERS = [*range(0x20, 0x7F), *range(0xA0, 0x180)]
FAMILY = "Bevelbench Sans"
HERE = Path(__file__).parent


def tabular_digits(font: TTFont) -> None:
    """Points the characters 0-9 at the glyphs that the feature `tnum` would give them."""
    table = font["GSUB"].table
    wanted = {}
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag != "tnum":
            continue
        for index in record.Feature.LookupListIndex:
            for part in table.LookupList.Lookup[index].SubTable:
                wanted.update(getattr(part, "ExtSubTable", part).mapping)
    assert wanted, "the font has no tabular figures"
    for cmap in font["cmap"].tables:
        for digit in range(0x30, 0x3A):
            glyph = cmap.cmap.get(digit)
            if glyph in wanted:
                cmap.cmap[digit] = wanted[glyph]
    # The heavier weights are interpolated: their 4 comes out two or three units narrower than the rest.
    digits = [font.getBestCmap()[digit] for digit in range(0x30, 0x3A)]
    width = max(font["hmtx"][glyph][0] for glyph in digits)
    for glyph in digits:
        font["hmtx"][glyph] = (width, font["hmtx"][glyph][1])


def rename(font: TTFont, style: str, family: str) -> None:
    """Names the changed font; copyright, licence and its address stay as they were."""
    names = font["name"]
    for record in list(names.names):
        if record.nameID not in (0, 13, 14):
            names.removeNames(nameID=record.nameID)
    for number, text in ((1, family), (2, style), (3, f"{family} {style}"), (4, f"{family} {style}"),
                         (6, f"{family.replace(' ', '')}-{style}")):
        names.setName(text, number, 3, 1, 0x409)
    if "CFF " in font:
        cff = font["CFF "].cff
        cff.fontNames = [f"{family.replace(' ', '')}-{style}"]
        top = cff.topDictIndex[0]
        top.FamilyName, top.FullName = family, f"{family} {style}"


def make(source: Path, target: str, style: str, family: str, characters: list[int], tabular: bool) -> None:
    """One file."""
    font = TTFont(source, recalcTimestamp=False)
    if tabular:
        tabular_digits(font)
    options = subset.Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp"]
    options.name_IDs = ["*"]
    options.notdef_outline = True
    options.drop_tables += ["FFTM"]
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=characters)
    subsetter.subset(font)
    rename(font, style, family)
    path = HERE / target
    font.save(path)
    kept = TTFont(path).getBestCmap()
    missing = "".join(chr(c) for c in characters if c not in kept)
    print(f"{target}: {path.stat().st_size / 1024:.0f} KiB, {len(kept)} characters, missing: {missing or 'none'}")


def main() -> None:
    """All files."""
    inter, dejavu = map(Path, sys.argv[1:3])
    characters = LETTERS + [ord(c) for c in SYMBOLS]
    for style in ("Regular", "Medium", "SemiBold"):
        make(inter / f"Inter-{style}.otf", f"BevelbenchSans-{style}.otf", style, FAMILY, characters, tabular=True)
    make(dejavu / "DejaVuSans.ttf", "BevelbenchSymbols-Regular.ttf", "Regular", "Bevelbench Symbols",
         [0x20, *(ord(c) for c in SYMBOLS)], tabular=False)


main()
