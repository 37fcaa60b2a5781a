"""Kinds of soil tests. Limits, shrinkage."""

from loamwright.notebook.fields import choice, flag, number, quantities, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")
TIN = (
    quantity("wet", "Tin with damp soil", "mass"),
    quantity("dry", "Tin with dry soil", "mass"),
    quantity("tare", "Empty tin", "mass", hint="0 if the scale was set to zero with it"),
    quantity("water", "Or its water content", "share"),
)

KINDS: tuple[Kind, ...] = (
    Kind(
        "cup_limit",
        "Liquid limit by the cup",
        "shake",
        (
            SOURCE,
            rows(
                "trials",
                "Trials",
                number("blows", "Blows that closed the groove", required=True),
                *TIN,
                hint="three or more between 15 and 35 blows; one alone between 20 and 30",
                expected=3,
            ),
            quantity("reported", "Or liquid limit as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "cone_limit",
        "Liquid limit by the falling cone",
        "shake",
        (
            SOURCE,
            choice(
                "cone",
                "Cone",
                {"80g_30deg": "80 g, 30°: limit at 20 mm", "60g_60deg": "60 g, 60°: limit at 10 mm"},
                hint="80 g if you leave it out",
            ),
            rows(
                "trials",
                "Trials",
                quantity("penetration", "Sank in 5 s", "length", required=True),
                *TIN,
                hint="four or more, from drier to wetter",
                expected=4,
            ),
            quantity("reported", "Or liquid limit as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "plastic_threads",
        "Plastic limit by threads",
        "shake",
        (
            SOURCE,
            rows("threads", "Threads", *TIN, hint="each rolled to 3 mm until it crumbles", expected=2),
            flag("none_rolled", "No thread could be rolled at any water", hint="the soil is then not plastic"),
            quantity("clay", "Clay in what was rolled", "share", hint="under 0.002 mm; the last grading if you leave it out"),
            quantity("reported", "Or plastic limit as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "shrinkage_bar",
        "Shrinkage of a bar",
        "shake",
        (
            SOURCE,
            quantity("mould", "Length of the mould", "length", hint="140 mm if you leave it out"),
            quantity("dried", "Length when dry", "length"),
            quantity("top", "Curved: length along the top", "length"),
            quantity("bottom", "Curved: length along the bottom", "length"),
            quantities("pieces", "Broken: length of each piece", "length", 3),
            quantity("reported", "Or shrinkage as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "shrinkage_box",
        "Long shrinkage box",
        "shake",
        (
            SOURCE,
            quantity("gap", "Gap, the soil pushed to one end", "length", required=True),
            quantities("cracks", "Width of each crack left", "length", 3),
            quantity("length", "Inner length of the box", "length", hint="600 mm if you leave it out"),
            quantity("width", "Inner width", "length", hint="40 mm if you leave it out"),
            quantity("depth", "Inner depth", "length", hint="40 mm if you leave it out"),
            choice("dried", "Dried in", {"sun": "the sun", "shade": "the shade"}),
            quantity("dried_for", "Dried for", "duration", hint="about 5 days in the sun, 10 in the shade"),
        ),
    ),
    Kind(
        "shrinkage_dish",
        "Shrinkage limit of a pat",
        "shake",
        (
            SOURCE,
            quantity("wet", "Pat, wet", "mass", hint="dish taken off"),
            quantity("dry", "Pat, dry", "mass", hint="dish taken off"),
            quantity("wet_volume", "Volume of the dish it filled", "volume"),
            quantity("dry_volume", "Volume of the dry pat", "volume", hint="by wax under water"),
            quantity("reported", "Or shrinkage limit as reported", "share"),
            FOUND_BY,
        ),
    ),
)
