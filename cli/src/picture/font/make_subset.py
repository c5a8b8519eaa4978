"""Makes the subset of DejaVu Sans that pictures carry, and the table of advance widths that lays out their labels.

In:  DejaVuSans.ttf (Debian package fonts-dejavu-core, version 2.37) as the first argument.
Out: font.ttf and advance.rs beside this script.
Needs fontTools (pip install fonttools). The same input gives the same bytes.
"""

import pathlib
import sys

from fontTools import subset
from fontTools.ttLib import TTFont

HERE = pathlib.Path(__file__).parent
SOURCE = sys.argv[1]

RANGES = [
    (0x20, 0x7E),  # Basic Latin
    (0xA0, 0xFF),  # Latin-1 Supplement, with its halves and quarters
    (0x100, 0x17F),  # Latin Extended-A
    (0x2013, 0x2014),
    (0x2018, 0x201E),
    (0x215B, 0x215E),  # eighths
]
SINGLE = "…′″⌀°±×→←↑↓⚠∠≤≥−•\ufffd"

wanted = {c for a, b in RANGES for c in range(a, b + 1)} | {ord(c) for c in SINGLE}

options = subset.Options()
options.hinting = False
options.layout_features = ["kern"]
options.notdef_outline = True
options.recalc_timestamp = False
options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
font = subset.load_font(SOURCE, options)
subsetter = subset.Subsetter(options)
subsetter.populate(unicodes=wanted)
subsetter.subset(font)
subset.save_font(font, str(HERE / "font.ttf"), options)

made = TTFont(HERE / "font.ttf")
cmap, hmtx = made.getBestCmap(), made["hmtx"]
missing = sorted(wanted - set(cmap))
if missing:
    sys.exit("the source has no glyph for " + " ".join(f"U+{c:04X}" for c in missing))
units = made["head"].unitsPerEm


def row(first, last):
    cells = [f"{hmtx[cmap[c]][0]}" for c in range(first, last + 1)]
    lines, line = [], "   "
    for cell in cells:
        if len(line) + len(cell) + 2 > 100:
            lines.append(line)
            line = "   "
        line += f" {cell},"
    lines.append(line)
    return "\n".join(lines)


(HERE / "advance.rs").write_text(
    f"""//! Advance widths of the font, in units of which the em has {units}. Written by `make_subset.py`; not to be edited.

/// Units in an em.
pub(super) const UNITS_PER_EM: f64 = {units}.0;

/// Advance widths of U+0020 to U+007E.
#[rustfmt::skip]
pub(super) const BASIC: [u16; 95] = [
{row(0x20, 0x7E)}
];

/// Advance widths of U+00A0 to U+017F.
#[rustfmt::skip]
pub(super) const LATIN: [u16; 224] = [
{row(0xA0, 0x17F)}
];
""",
    encoding="utf-8",
)
