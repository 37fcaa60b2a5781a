"""Kinds of block tests. Sizes, density, shrinkage and swell of a block."""

from loamwright.notebook.fields import choice, quantities, quantity, ref, rows, text, whole
from loamwright.notebook.kinds import Kind

BLOCK = ref("block", "Block", "block", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")
_PLACES = "at three places or more"

KINDS = (
    Kind(
        "block_sizes",
        "Block measured",
        "break",
        (
            BLOCK,
            quantities("lengths", "Length", "length", 3, required=True, hint=_PLACES),
            quantities("widths", "Width", "length", 3, required=True, hint=_PLACES),
            quantities("heights", "Height", "length", 3, required=True, hint=_PLACES),
            quantity("wanted_length", "Wanted length", "length", hint="the mould’s if you leave it out"),
            quantity("wanted_width", "Wanted width", "length", hint="the mould’s if you leave it out"),
            quantity("wanted_height", "Wanted height", "length"),
            quantity("tolerance", "Tolerance either way", "length", hint="2 mm is common"),
            rows(
                "holes",
                "Holes right through",
                choice("shape", "Shape", {"round": "round", "square": "four-sided"}, required=True),
                quantity("across", "Diameter, or one side", "length", required=True),
                quantity("along", "Other side", "length", hint="of a four-sided hole"),
                whole("count", "How many alike"),
            ),
            quantity("frog", "Volume of frogs", "volume", hint="of the sand that fills them level"),
            quantity("mass", "Mass as measured", "mass"),
            quantity("dry_mass", "Mass dried to constant mass", "mass"),
            quantity("moisture", "Water at that mass", "share", hint="of the dry mass, where the block itself is not dried"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_length_change",
        "Length of a block followed",
        "break",
        (
            BLOCK,
            choice("what", "What happened to it", {"dried": "it dried", "soaked": "it was soaked"}, required=True),
            rows(
                "lines",
                "Lines between two marks",
                quantity("before", "Before", "length", required=True),
                quantity("after", "After", "length", required=True),
                required=True,
                expected=3,
            ),
            quantity("hours", "For how long", "duration"),
            quantity("oven", "Temperature of the oven", "temperature", hint="only where it was dried in one"),
            FOUND_BY,
        ),
    ),
)
