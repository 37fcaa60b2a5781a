"""Kinds of soil tests. Grain sizes: sieves, hydrometer, pipette."""

from loamwright.notebook.fields import choice, number, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)
SETTLING = (
    quantity("dry_mass", "Dry soil in the cylinder", "mass", hint="oven-dry; a hydrometer takes about 50 g, 100 g if sandy"),
    quantity("cut", "It had passed a sieve of", "length", hint="usually 2 mm; needed to join it with a sieving"),
    quantity("temperature", "Temperature of the suspension", "temperature", hint="no size can be worked out without it"),
    quantity("grain_density", "Density of the grains", "density", hint="its own pycnometer test, else 2650 kg/m³, if left out"),
    quantity("suspension_volume", "Volume of the suspension", "volume", hint="a hydrometer stands in 1 l"),
)
REPORTED = (
    rows(
        "reported",
        "Sizes a laboratory reported",
        quantity("size", "Size", "length", required=True),
        quantity("finer", "Finer than it", "share", required=True),
        expected=4,
    ),
    choice(
        "reported_of",
        "The reported shares are of",
        {"whole": "the whole soil", "portion": "what was in the cylinder"},
    ),
    text("found_by", "Found by", hint="laboratory and number of its report"),
)

KINDS = (
    Kind(
        "sieve",
        "Sieve analysis",
        "shake",
        (
            SOURCE,
            quantity("start", "Dry mass put to the sieves", "mass", hint="before washing; without it no loss can be told"),
            quantity("washed", "Dry mass after washing", "mass", hint="leave empty if it was sieved dry"),
            quantity("oversize", "Stones taken off before", "mass", hint="not in the mass put to the sieves"),
            quantity("oversize_size", "Taken off on a screen of", "length"),
            choice(
                "weighed",
                "Each mass is",
                {"alone": "what lies on this sieve alone", "added": "what lies on it and all coarser ones"},
                hint="alone if you leave it out",
            ),
            rows(
                "sieves",
                "Sieves",
                quantity("size", "Opening", "length", required=True),
                quantity("retained", "Mass on it", "mass"),
                quantity("retained_share", "Or share on it", "share"),
                quantity("passing", "Or share passing", "share"),
                required=True,
                expected=7,
            ),
            quantity("pan", "Mass in the pan", "mass"),
            quantity("pan_share", "Or share in the pan", "share"),
            text("found_by", "Found by", hint="laboratory and number of its report"),
        ),
    ),
    Kind(
        "hydrometer",
        "Hydrometer test",
        "shake",
        (
            SOURCE,
            choice("instrument", "Hydrometer", {"152h": "152H, in g per litre", "151h": "151H, 1.000 in water"}),
            *SETTLING,
            number("blank", "Reading in water with dispersant", hint="in a second cylinder, at the top of the meniscus"),
            quantity("blank_temperature", "Temperature of that water", "temperature", hint="that of the suspension if left out"),
            number(
                "meniscus", "Height of the meniscus", hint="in units of the scale, from the water surface up to where you read"
            ),
            number("temperature_correction", "Correction for temperature", hint="from the paper of your instrument, added"),
            rows(
                "readings",
                "Readings",
                quantity("after", "After", "duration", required=True),
                number("reading", "Reading", required=True),
                quantity("temperature", "Temperature then", "temperature"),
                expected=8,
            ),
            *REPORTED,
        ),
    ),
    Kind(
        "pipette",
        "Pipette test",
        "shake",
        (
            SOURCE,
            *SETTLING,
            quantity("pipette_volume", "Volume of the pipette", "volume"),
            quantity("agent", "Dry dispersant in one sample", "mass", hint="from a sample of water with dispersant"),
            rows(
                "samples",
                "Samples",
                quantity("after", "After", "duration", required=True),
                quantity("depth", "Depth below the surface", "length", required=True),
                quantity("residue", "Dry residue", "mass", required=True),
                expected=3,
            ),
            *REPORTED,
        ),
    ),
)
