"""Kinds of soil tests. What hands, eyes and nose can tell, and fines by washing."""

from loamwright.notebook.fields import choice, quantities, quantity, ref, text
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)
# Grades are rows of data/feel_tests.toml; these are their names as a person taps them.
SMELL = {
    "smell_none": "no smell",
    "smell_musty": "musty or earthy, more so when warmed",
    "smell_rotten": "of rotten eggs",
}
COLOUR = {
    "colour_light": "red, yellow, brown or grey all through",
    "colour_dark": "black, dark brown or blue-grey",
    "colour_white": "white crystals, needles or a crust",
}
RUB = {
    "rub_gritty": "gritty, single grains seen",
    "rub_floury": "smooth like flour",
    "rub_hard": "in hard lumps that do not rub down",
}
WASH = {
    "wash_rinses": "rinses off at once",
    "wash_powders": "powders off when dry, rinses without trouble",
    "wash_soapy": "soapy, stains, hard to wash off",
}
SHINE = {
    "shine_none": "no face can be cut, it crumbles",
    "shine_dull": "dull",
    "shine_shiny": "shiny",
}
STICK = {
    "stick_clean": "slips out clean",
    "stick_little": "comes out with a little on it",
    "stick_hard": "hard to pull out, much on it",
}
DRY_STRENGTH = {
    "dry_none": "falls to powder when it is touched",
    "dry_low": "powders between the fingers with little force",
    "dry_medium": "breaks with some force",
    "dry_high": "cannot be broken by the fingers, only against something hard",
    "dry_very_high": "cannot be broken against something hard by the thumb",
}
SHAKING = {
    "shaking_fast": "water comes up at once, and goes at once when it is squeezed",
    "shaking_slow": "water comes up slowly, and goes slowly or not at all",
    "shaking_none": "no change",
}
TOUGHNESS = {
    "tough_none": "no thread of 3 mm can be rolled",
    "tough_low": "soft and weak near 3 mm",
    "tough_medium": "of some stiffness",
    "tough_high": "stiff, the lump is tough to knead after it breaks",
}
BALL = {
    "ball_no_ball": "no ball can be made",
    "ball_crumbles": "falls apart into many pieces",
    "ball_few": "breaks into a few lumps",
    "ball_flattens": "flattens a little and stays whole",
    "ball_spreads": "spreads out flat",
}

KINDS: tuple[Kind, ...] = (
    Kind(
        "look_and_touch",
        "Look, smell, touch",
        "shake",
        (
            SOURCE,
            choice("smell", "Smell, fresh and damp", SMELL, hint="warm a handful"),
            choice("colour", "Colour", COLOUR),
            choice("rub", "Dry powder between the fingers", RUB),
            choice("wash", "Wet soil on the hands, washed off", WASH),
            choice("shine", "Face of a moist ball cut with a knife", SHINE),
            choice("stick", "Knife pushed into a moist ball and drawn out", STICK, hint="never with the tongue"),
        ),
    ),
    Kind(
        "hand_thread",
        "Thread by hand",
        "shake",
        (
            SOURCE,
            quantities("thinnest", "Thinnest thread before it broke", "length", 3, hint="rolled on a plate with the palm"),
            choice("toughness", "The thread near 3 mm is", TOUGHNESS),
        ),
    ),
    Kind(
        "hand_ribbon",
        "Ribbon",
        "shake",
        (
            SOURCE,
            quantities(
                "lengths", "Length when it broke", "length", 3, required=True, hint="squeezed out between thumb and finger"
            ),
        ),
    ),
    Kind(
        "hand_cigar",
        "Roll pushed over an edge",
        "shake",
        (
            SOURCE,
            quantities("lengths", "Length of the piece that broke off", "length", 3, required=True),
            quantity("thickness", "Thickness of the roll", "length", hint="12 to 15 mm"),
        ),
    ),
    Kind(
        "hand_ball",
        "Ball dropped",
        "shake",
        (
            SOURCE,
            choice("did", "What it did", BALL, required=True, hint="a damp ball of 40 mm onto hard ground"),
            quantity("height", "Dropped from", "length", hint="1.5 m"),
        ),
    ),
    Kind(
        "hand_dry_strength",
        "Dried pat broken by hand",
        "shake",
        (SOURCE, choice("broke", "The dried pat", DRY_STRENGTH, required=True, hint="dried through, in sun or oven")),
    ),
    Kind(
        "hand_shaking",
        "Wet pat shaken",
        "shake",
        (SOURCE, choice("water", "On its face", SHAKING, required=True, hint="shaken in the palm, then squeezed")),
    ),
    Kind(
        "wash_sieve",
        "Fines by washing",
        "shake",
        (
            SOURCE,
            quantity("start", "Dry soil before", "mass", hint="dried, weighed, soaked, washed through until clear"),
            quantity("washed", "Dry soil left on the sieve", "mass", hint="dried again to constant mass"),
            quantity("sieve", "Opening of the sieve", "length", hint="0.075 or 0.063 mm"),
            quantity("largest_size", "Largest grain", "length"),
            quantity("reported", "Or fines as reported", "share"),
            text("found_by", "Found by", hint="laboratory and number of its report"),
        ),
    ),
)
