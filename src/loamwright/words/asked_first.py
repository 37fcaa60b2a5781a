"""What a form asks first, and the units it offers: the same on the pages and at the bench."""

from collections.abc import Mapping

from loamwright.words.numbers import Shown

# Fields a form asks first although they may stay empty; other optional ones stand folded below.
FIRST: Mapping[str, tuple[str, ...]] = {
    "project": ("mass_unit", "length_unit", "pressure_unit"),
    "source": ("material",),
    "stabiliser": ("bag_mass", "bag_date"),
    "container": ("volume", "tare"),
    "press": ("block_height", "bore", "gauge_wanted"),
    "rig": ("ram_bore", "lever_ratio", "lever_own"),
    "pan_test": ("pan",),
    "jar": ("temperature",),
    "mix": ("stabiliser",),
    "ladder_block": ("press", "look", "ejects", "squeeze", "poke"),
    "brief": ("by", "mean_least", "each_least", "condition", "soak_least", "age_days", "n"),
    "cure_step": ("coldest", "hottest"),
    "proving_batch": ("tally_exact", "blocks", "masses", "heights", "soaked", "whole_after_soak"),
    "morning_check": ("container", "water_volume", "water_mass", "pails", "weather"),
    "crush": ("rig", "gauge", "load", "bucket"),
    "bend": ("rig", "gauge", "load", "bucket"),
}
FEW = 1  # as few fields as this are not worth a fold
SOLE = ("press", "rig", "scale")  # the only one there is, is the one meant
_USUAL_UNITS: Mapping[tuple[str, str], str] = {
    ("pan_test", "mass"): "g",
    ("brief", "duration"): "h",
    ("crush", "duration"): "h",
    ("bend", "duration"): "h",
}
# Units offered for these fields alone.
SELDOM_UNITS: Mapping[str, tuple[str, ...]] = {"fraction": (), "km": ("distance",), "mi": ("distance",), "t": ("trip_mass",)}


def usual_unit(kind: str, quantity: str, shown: Shown) -> str:
    """The unit a quantity of a kind is usually read in, or an empty text for the one the person chose.

    >>> usual_unit("pan_test", "mass", Shown()), usual_unit("pan_test", "mass", Shown({"mass": "lb"}))
    ('g', '')
    """
    usual = _USUAL_UNITS.get((kind, quantity), "")
    return "" if usual == "g" and shown.unit("mass").key != "kg" else usual
