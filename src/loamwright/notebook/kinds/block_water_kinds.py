"""Kinds of block tests. Soaking, boiling, capillary rise, absorption."""

from loamwright.notebook.fields import flag, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

BLOCK = ref("block", "Block", "block", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")
_DRY = quantity("dry_mass", "Dried to constant mass", "mass", hint="at 105 to 110 °C, before it goes into the water")

KINDS = (
    Kind(
        "block_soaking",
        "Block soaked and weighed",
        "break",
        (
            BLOCK,
            _DRY,
            rows(
                "weighings",
                "Weighed wet",
                quantity("after", "After", "duration", required=True, hint="in the water"),
                quantity("mass", "Mass, wiped", "mass", required=True),
                hint="4 h, 24 h, or as the rule says",
                expected=2,
            ),
            quantity("boiled", "Mass after boiling", "mass", hint="only where a rule asks for it"),
            quantity("boiled_for", "Boiled for", "duration"),
            flag("crumbled", "Did it lose earth in the water"),
            quantity("reported", "Or absorption as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_damp_plate",
        "Cube on a damp plate",
        "break",
        (
            BLOCK,
            quantity("side", "Side of the cube", "length", hint="4 in in the codes that ask for it"),
            _DRY,
            quantity("wet_mass", "Mass after the plate", "mass"),
            quantity("after", "Days on the plate", "duration", hint="7 days in the codes that ask for it"),
            quantity("reported", "Or gain as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_capillary",
        "Block stood in water",
        "break",
        (
            BLOCK,
            quantity("length", "Length of the face in the water", "length", required=True),
            quantity("width", "Width of the face in the water", "length", required=True),
            quantity("depth", "Depth of the water", "length", hint="5 mm in the rules"),
            quantity("dry_mass", "Mass before", "mass", required=True, hint="dried to constant mass"),
            rows(
                "weighings",
                "Weighed wet",
                quantity("after", "After", "duration", required=True, hint="1 min for suction, 10 min for the coefficient"),
                quantity("mass", "Mass, wiped", "mass", required=True),
                quantity("height", "Height the damp has reached", "length"),
                required=True,
                expected=4,
            ),
            FOUND_BY,
        ),
    ),
)
