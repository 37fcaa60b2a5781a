"""Kinds of the bench: people, pails, scales, presses, rigs, mixers, rules; shared by all projects of a notebook.

Results for a rule are of one project and stand here beside the figures they are held against.
"""

from loamwright.notebook.fields import choice, date, number, quantity, ref, rows, text, whole
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
    Kind(
        "rule_value",
        "Figure read in the document of a rule",
        "today",
        (
            text("rule", "Which rule", required=True, hint="its key in the list of rules"),
            text("clause", "Which clause", required=True, hint="its key on the page of the rule"),
            number("value", "The figure as printed", required=True, hint="of a range the lower end"),
            number("value_max", "Upper end, if it is a range"),
            text("unit", "Unit as printed", hint="empty: the unit on the page of the rule"),
            whole("n", "Number of specimens, if printed"),
            quantity("soak", "Hours in water, if printed", "duration"),
            whole("age_days", "Age in days, if printed"),
            text("page", "Page", required=True),
            text("edition", "Edition or year of your copy", required=True),
            text("read_by", "Who read it", required=True),
            text("checked_by", "Who checked it, if anybody did"),
        ),
        bench=True,
    ),
    Kind(
        "rule_file",
        "Rule of our own",
        "today",
        (
            text("rule", "Its key", required=True, hint="letters, digits and low lines"),
            text("content", "The rule file", required=True, hint="as the reference of rules describes it"),
        ),
        bench=True,
        asked=False,
    ),
    Kind(
        "rule_result",
        "Result for a rule, from a laboratory or the site",
        "today",
        (
            text("property", "What was measured", required=True, hint="its key on the page of the rule, such as dry_density"),
            text("subject", "On what", hint="block, mix, soil, lot, wall, cement or air; empty: as the rules have it"),
            rows("figures", "Figures", number("value", "Figure", required=True), expected=3),
            text("unit", "Unit", hint="such as MPa, pct, kg_m3, mm; empty: a plain number"),
            choice(
                "condition",
                "Tested",
                {
                    "wet": "soaked",
                    "dry": "dry",
                    "air_dry": "air-dry in a named climate",
                    "damp_plate": "on a damp plate",
                    "spray": "under a spray",
                    "drip": "under drips",
                    "dip": "dipped",
                    "cycles": "after cycles of wetting and drying",
                },
            ),
            quantity("soak", "Hours in water", "duration"),
            whole("age_days", "Age in days"),
            whole("cycles", "Cycles of wetting and drying"),
            choice(
                "value_form",
                "Shape correction",
                {
                    "as_tested": "none: as tested",
                    "aspect_ratio_corrected": "corrected by height over thickness",
                    "normalised": "normalised by shape",
                },
            ),
            ref("mix", "Of which mix", "mix", hint="empty: it holds for every mix of the project"),
            date("on", "On"),
            text("by_whom", "Measured by"),
        ),
    ),
)
