"""Kinds of block tests. How a block was loaded, splitting, penetrometer; rigs against known loads, and what they must reach."""

from loamwright.notebook.fields import choice, date, flag, number, quantities, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

BLOCK = ref("block", "Block", "block", required=True)
RIG = ref("rig", "Rig", "rig", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")
_LOADS = (
    quantity("load", "Load when it broke", "force"),
    quantity("gauge", "Gauge of the jack when it broke", "pressure"),
    quantity("bucket", "Mass hung on the lever", "mass"),
)

KINDS = (
    Kind(
        "block_loading",
        "How a block was loaded",
        "break",
        (
            BLOCK,
            choice("test", "Which test of it", {"crush": "it was crushed", "bend": "it was bent"}, required=True),
            quantity("took", "Time from touching to breaking", "duration"),
            choice(
                "capping",
                "Between block and plates",
                {
                    "nothing": "nothing",
                    "board": "plywood or fibre board",
                    "gypsum": "gypsum",
                    "cement": "cement paste or mortar",
                    "sulphur": "sulphur",
                    "sand": "sand",
                    "rubber": "rubber or felt",
                },
            ),
            choice(
                "orientation",
                "Loaded",
                {"flat": "flat, as it lies in the wall", "edge": "on its long edge", "end": "on its end"},
            ),
            flag("swivel", "One plate free to turn"),
            flag("stacked", "Two halves stacked on each other"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_split",
        "Block split",
        "break",
        (
            BLOCK,
            ref("rig", "Rig", "rig"),
            choice("condition", "Was it", {"soaked": "soaked", "dry": "dry"}, required=True),
            quantity("soaked_for", "Soaked for", "duration"),
            choice("shape", "What was split", {"block": "a block", "cylinder": "a cylinder"}, required=True),
            quantity("length", "Length of the strip", "length", required=True, hint="length of a cylinder, width of a block"),
            quantity("depth", "From strip to strip", "length", required=True, hint="diameter of a cylinder, height of a block"),
            *_LOADS,
            quantity("took", "Time from touching to splitting", "duration"),
            choice("strip", "Strips", {"wood": "plywood or card", "steel": "steel", "rubber": "rubber", "none": "none"}),
            date("on", "Split on", hint="today if you leave it out"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_penetrometer",
        "Fresh block pricked",
        "break",
        (
            BLOCK,
            quantities("readings", "Readings of the scale", "pressure", 3, hint="a pocket penetrometer shows kgf/cm²"),
            quantities("forces", "Or pushes", "force", 3),
            quantity("piston", "Diameter of the piston", "length", hint="needed for pushes"),
            quantity("after", "Time since pressing", "duration"),
            choice("where", "Where", {"top": "top", "bottom": "bottom", "sides": "sides", "corners": "corners"}),
        ),
    ),
    Kind(
        "rig_known_loads",
        "Rig held against known loads",
        "break",
        (
            RIG,
            rows(
                "loads",
                "Known loads of a jack or display",
                quantity("known", "Known load", "force", hint="of a checked machine or ring"),
                quantity("mass", "Or known mass lifted", "mass"),
                quantity("shown", "Load the rig showed", "force"),
                quantity("gauge", "Or gauge of the jack", "pressure"),
                expected=3,
            ),
            rows(
                "scale",
                "Scale under the block end of a lever",
                quantity("hung", "Hung on it", "mass", required=True, hint="0 for the bare lever"),
                quantity("scale", "Scale shows", "mass", required=True),
                expected=3,
            ),
            quantity("load_arm", "Hinge to bucket", "length"),
            quantity("block_arm", "Hinge to block", "length"),
            quantity("lever_mass", "Bare lever", "mass"),
            quantity("lever_centre", "Hinge to its point of balance", "length"),
            date("on", "On"),
            FOUND_BY,
        ),
        bench=True,
    ),
    Kind(
        "rig_load_wanted",
        "Load wanted from a rig",
        "break",
        (
            RIG,
            choice("test", "How", {"crush": "crush it", "bend": "bend it", "split": "split it"}, required=True),
            quantity("strength", "Wanted strength", "pressure", required=True),
            quantity("length", "Length of the face", "length", hint="to crush; of the strip to split"),
            quantity("width", "Width", "length", hint="to crush and to bend"),
            quantity("thickness", "Thickness in the direction of load", "length", hint="to bend and to split"),
            quantity("span", "Span between the bars", "length", hint="to bend"),
            number("margin", "Times as strong as wanted", hint="2 if you leave it out: good blocks break well above"),
        ),
        bench=True,
    ),
)
