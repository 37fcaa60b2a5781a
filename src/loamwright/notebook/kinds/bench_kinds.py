"""Kinds of the bench: people, pails, scales, presses, rigs, mixers; shared by all projects of a notebook."""

from loamwright.notebook.fields import choice, date, number, quantity, ref, text, whole
from loamwright.notebook.kinds import Kind

KINDS = (
    Kind("person", "Person", "today", (text("name", "Name or initials", required=True),), bench=True),
    Kind(
        "container",
        "Pail or other container",
        "dig",
        (
            text("name", "Name", required=True, hint="what you call it: black pail, scoop, barrow"),
            quantity("volume", "Volume struck level", "volume"),
            quantity("tare", "Empty mass", "mass", hint="remembered for every weighing in it"),
        ),
        bench=True,
    ),
    Kind(
        "calibration",
        "Pail measured again",
        "dig",
        (
            ref("container", "Pail", "container", required=True),
            quantity("volume", "Volume struck level", "volume"),
            quantity("tare", "Empty mass", "mass"),
        ),
        bench=True,
    ),
    Kind(
        "scale",
        "Scale",
        "weigh",
        (
            text("name", "Name", required=True),
            quantity("step", "Smallest step it shows", "mass", required=True),
            quantity("most", "Most it carries", "mass"),
        ),
        bench=True,
    ),
    Kind(
        "press",
        "Press",
        "press",
        (
            text("name", "Name", required=True),
            choice("how", "How is it read", {"gauge": "by a gauge", "no_gauge": "no gauge: by fill and height"}, required=True),
            quantity("mould_length", "Mould length", "length", required=True),
            quantity("mould_width", "Mould width", "length", required=True),
            quantity("block_height", "Wanted block height", "length", hint="as it comes out of the mould"),
            quantity("bore", "Cylinder bore", "length"),
            quantity("rod", "Rod diameter, if the rod side pushes", "length"),
            whole("cylinders", "Number of cylinders"),
            quantity("gauge_wanted", "Gauge reading to press to", "pressure"),
            quantity("rate", "Blocks it presses", "rate"),
        ),
        bench=True,
    ),
    Kind(
        "rig",
        "Breaking rig",
        "break",
        (
            text("name", "Name", required=True),
            choice(
                "how",
                "How is the load read",
                {"load": "the load itself", "jack": "gauge on a jack", "lever": "bucket on a lever"},
                required=True,
            ),
            quantity("ram_bore", "Ram bore of the jack", "length"),
            number("calibration", "True load over gauge load", hint="from a check against a known load; leave empty if none"),
            date("calibrated_on", "Checked on"),
            quantity("capacity", "Most load it can give", "force"),
            number("lever_ratio", "Lever ratio", hint="long arm over short arm"),
            quantity("lever_own", "Own effect of the lever", "mass", hint="what the bare lever already puts on the block"),
        ),
        bench=True,
    ),
    Kind(
        "mixer",
        "Mixer or mixing floor",
        "make",
        (
            text("name", "Name", required=True),
            quantity("usable_volume", "Usable volume, loose mix", "volume", required=True),
        ),
        bench=True,
    ),
)
