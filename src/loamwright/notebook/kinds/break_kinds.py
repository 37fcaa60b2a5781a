"""Kinds of Break: raw readings of soaking, crushing and bending; strength is computed, never typed."""

from loamwright.notebook.fields import choice, date, quantity, ref, refs, text
from loamwright.notebook.kinds import Kind

KINDS = (
    Kind(
        "soak",
        "Blocks into water",
        "break",
        (refs("blocks", "Blocks", "block", required=True), text("note", "Note")),
    ),
    Kind(
        "crush",
        "Block crushed",
        "break",
        (
            ref("block", "Block", "block", required=True),
            ref("rig", "Rig", "rig"),
            choice("condition", "Was it", {"soaked": "soaked", "dry": "dry"}, required=True),
            quantity("soaked_for", "Soaked for", "duration"),
            choice(
                "piece",
                "What was crushed",
                {"whole": "the whole block", "half_1": "first half", "half_2": "second half"},
                required=True,
            ),
            quantity("load", "Load when it broke", "force"),
            quantity("gauge", "Gauge of the jack when it broke", "pressure"),
            quantity("bucket", "Mass hung on the lever", "mass"),
            quantity("length", "Length under load", "length"),
            quantity("width", "Width under load", "length"),
            quantity("height", "Height", "length"),
            quantity("mass", "Mass at break", "mass"),
            choice(
                "how",
                "How it failed",
                {"cone": "cone", "split": "split", "corner": "a corner", "dissolved": "fell apart in water"},
            ),
            date("on", "Broken on", hint="today if you leave it out"),
        ),
    ),
    Kind(
        "bend",
        "Block bent",
        "break",
        (
            ref("block", "Block", "block", required=True),
            ref("rig", "Rig", "rig"),
            choice("condition", "Was it", {"soaked": "soaked", "dry": "dry"}, required=True),
            quantity("soaked_for", "Soaked for", "duration"),
            quantity("span", "Span between the bars", "length", required=True),
            quantity("width", "Width of the block", "length"),
            quantity("thickness", "Thickness in the direction of load", "length"),
            quantity("load", "Load when it broke", "force"),
            quantity("gauge", "Gauge of the jack when it broke", "pressure"),
            quantity("bucket", "Mass hung on the lever", "mass"),
            quantity("took", "Time to reach it", "duration"),
            date("on", "Broken on", hint="today if you leave it out"),
        ),
    ),
)
