"""Kinds of Weigh: water ladder, trial plan, batches and every weighing as it is made."""

from loamwright.notebook.fields import choice, quantity, ref, refs, text, told, whole
from loamwright.notebook.kinds import Kind

KINDS = (
    Kind(
        "ladder_block",
        "Water ladder block",
        "weigh",
        (
            ref("blend", "Blend", "blend", required=True),
            ref("press", "Press", "press"),
            ref("stabiliser", "Stabiliser in it", "stabiliser", hint="usually none for the ladder"),
            quantity("stabiliser_mass", "Mass of that stabiliser", "mass", hint="only if there is any in it"),
            quantity("soil", "Damp soil", "mass", required=True),
            quantity("water", "Water added", "mass", required=True),
            quantity("green_mass", "Block as pressed", "mass", required=True),
            quantity("height", "Height", "length", required=True),
            choice("look", "Look", {"rough": "rough and open", "even": "even", "shiny": "shiny, smeared"}),
            choice(
                "ejects",
                "How it came out",
                {"clean": "clean", "corners": "lost corners", "sticks": "sticks or sweats", "broke": "broke"},
                required=True,
            ),
            choice("squeeze", "Squeezed in the hand", {"crumbles": "crumbles", "holds": "holds, palm dry", "wet": "wet palm"}),
            choice("poke", "Poked with a thumb", {"firm": "firm", "dents": "dents"}),
        ),
    ),
    Kind(
        "plan",
        "Trial plan",
        "weigh",
        (
            choice("size", "Size", {"small": "small", "usual": "usual", "official": "for the official"}, required=True),
            text("seed", "Seed of the order", required=True),
            ref("press", "Press", "press"),
            refs("mixes", "Mixes tried", "mix"),
            told("rows", "Batches in order"),
            told("needs", "What it takes"),
        ),
    ),
    Kind(
        "batch",
        "Batch opened",
        "weigh",
        (
            ref("mix", "Mix", "mix", required=True),
            ref("scale", "Scale", "scale"),
            ref("plan", "Of the plan", "plan"),
            whole("plan_row", "Row of the plan"),
            quantity("soil_wanted", "Damp soil to weigh", "mass", required=True),
            quantity("water_wanted", "Moisture wanted", "share", hint="of the dry mix; from the water ladder, or 10 % to start"),
            quantity("air_temperature", "Air temperature", "temperature", hint="above 30 °C cement may wait 30 min, not 60"),
            told("targets", "Targets as shown"),
        ),
    ),
    Kind(
        "weighing",
        "Weighing",
        "weigh",
        (
            ref("batch", "Batch", "batch", required=True),
            choice("what", "Of what", {"soil": "soil", "stabiliser": "stabiliser", "water": "water"}, required=True),
            quantity("mass", "Mass", "mass", required=True),
            quantity("tare", "Container included", "mass", hint="taken off if the scale showed it"),
        ),
    ),
    Kind("stabiliser_in", "Stabiliser in", "weigh", (ref("batch", "Batch", "batch", required=True),)),
    Kind(
        "feel",
        "Feel of the mix",
        "weigh",
        (
            ref("batch", "Batch", "batch", required=True),
            choice(
                "squeeze",
                "Squeezed in the hand",
                {"crumbles": "crumbles", "holds": "holds, palm dry", "wet": "wet palm"},
                required=True,
            ),
        ),
    ),
)
