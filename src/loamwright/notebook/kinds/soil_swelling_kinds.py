"""Kinds of soil tests. Swelling, slaking, activity of the clay."""

from loamwright.notebook.fields import choice, number, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")

KINDS: tuple[Kind, ...] = (
    Kind(
        "free_swell",
        "Free swell in a cylinder",
        "shake",
        (
            SOURCE,
            quantity("in_water", "Settled volume in water", "volume", hint="after 24 h or more"),
            quantity("in_kerosene", "Settled volume in kerosene", "volume", hint="the same mass of soil: free swell index"),
            quantity("poured", "Volume of the dry powder", "volume", hint="10 ml poured slowly: free swell"),
            quantity("reported", "Or free swell index as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "jar_swell",
        "Swelling in a jar",
        "shake",
        (
            SOURCE,
            quantity("fill", "Dry mark", "length", required=True, hint="height of the loose dry soil"),
            quantity("settled", "Settled bed", "length", required=True, hint="a day or more after shaking"),
            quantity("after", "Read after", "duration"),
        ),
    ),
    Kind(
        "crumb",
        "Crumb in still water",
        "shake",
        (
            SOURCE,
            rows(
                "looks",
                "Looked at",
                quantity("after", "After", "duration", hint="2 min, 1 h, 6 h"),
                choice(
                    "grade",
                    "Cloud",
                    {
                        "grade_1": "1: none",
                        "grade_2": "2: faint, at its surface",
                        "grade_3": "3: spreads over the bottom",
                        "grade_4": "4: over the whole bottom, murky",
                    },
                    required=True,
                ),
                required=True,
                expected=3,
            ),
            choice("water", "Water", {"distilled": "distilled or rain", "tap": "tap or well", "mixing": "the mixing water"}),
        ),
    ),
    Kind(
        "slake",
        "Dried ball in water",
        "shake",
        (
            SOURCE,
            choice(
                "did",
                "What it did",
                {
                    "fell": "fell apart into a heap",
                    "swelled": "swelled and opened first",
                    "stood": "stood whole",
                },
                required=True,
            ),
            quantity("half_gone", "Half of it gone after", "duration", hint="leave empty where half stood after 5 min"),
            quantity("left", "Left after five dips", "share", hint="where half stood after 5 min"),
        ),
    ),
    Kind(
        "expansion_index",
        "Expansion index",
        "shake",
        (
            SOURCE,
            quantity("rise", "Rise under water", "length", hint="24 h under 6.9 kPa"),
            quantity("height", "Height before", "length", hint="25.4 mm if you leave it out"),
            quantity("saturation", "Voids filled with water before", "share", hint="40 to 60 %"),
            number("reported", "Or expansion index as reported"),
            FOUND_BY,
        ),
    ),
    Kind(
        "methylene_blue",
        "Methylene blue by the spot",
        "shake",
        (
            SOURCE,
            quantity("dry", "Dry soil tested", "mass"),
            quantity("blue", "Solution added in all", "volume", hint="until the light ring stays for 5 min"),
            quantity("strength", "Blue in the solution", "density", hint="10 g/l, that is 10 kg/m³, if you leave it out"),
            quantity("tested", "Share of the soil fine enough to be tested", "share", hint="100 % if you leave it out"),
            quantity("reported", "Or as reported", "share", hint="grams of blue to 100 g of soil, as %"),
            FOUND_BY,
        ),
    ),
    Kind(
        "swell_report",
        "Swelling from a report",
        "shake",
        (
            SOURCE,
            quantity("volume_change", "Volume change from air-dry to wet", "share"),
            quantity("colloids", "Grains finer than 0.001 mm", "share"),
            FOUND_BY,
        ),
    ),
)
