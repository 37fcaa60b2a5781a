"""Kinds of Press: blocks with their marks, blocks spoiled, and what was done to cure them."""

from loamwright.notebook.fields import choice, date, moment, quantity, ref, refs, text, whole
from loamwright.notebook.kinds import Kind

KINDS = (
    Kind(
        "block",
        "Pressed block",
        "press",
        (
            ref("batch", "Batch", "batch", required=True),
            text("mark", "Mark scratched on it", required=True, hint="digits only; the last one checks the others"),
            ref("press", "Press", "press"),
            quantity("gauge", "Gauge reading", "pressure"),
            quantity("fill_mass", "Mass filled in", "mass"),
            quantity("loose_height", "Height of the loose fill in the mould", "length"),
            quantity("green_mass", "Block as pressed", "mass", required=True),
            quantity("height", "Height", "length", required=True),
            whole("corners_lost", "Corners lost"),
            choice("surface", "Surface", {"rough": "rough and open", "even": "even", "shiny": "shiny, smeared"}),
            choice("fate", "Meant to be", {"soaked": "soaked and broken", "dry": "broken dry", "spare": "spare"}),
            moment("pressed_at", "Pressed at", hint="now if you leave it out"),
        ),
    ),
    Kind("all_pressed", "No more blocks of a batch", "press", (ref("batch", "Batch", "batch", required=True),)),
    Kind(
        "spoiled",
        "Spoiled block",
        "press",
        (
            ref("batch", "Batch", "batch", required=True),
            choice(
                "why",
                "What happened",
                {"stuck": "stuck in the mould", "broke": "broke on lifting", "cracked": "cracked", "other": "something else"},
                required=True,
            ),
            text("note", "Note"),
        ),
    ),
    Kind(
        "cure_step",
        "Cure step",
        "press",
        (
            refs("batches", "Batches", "batch", required=True),
            choice(
                "step",
                "What was done",
                {
                    "covered": "covered damp",
                    "misted": "misted",
                    "uncovered": "uncovered to dry",
                    "moved": "moved or stacked",
                    "checked": "looked at",
                },
                required=True,
            ),
            quantity("coldest", "Coldest since the last look", "temperature"),
            quantity("hottest", "Hottest since the last look", "temperature"),
            date("on", "On"),
            text("note", "Note"),
        ),
    ),
    Kind(
        "mark_lease",
        "Marks set aside for a device",
        "press",
        (
            text("device", "Device", required=True),
            whole("first", "First number", required=True),
            whole("last", "Last number", required=True),
        ),
        asked=False,
    ),
)
