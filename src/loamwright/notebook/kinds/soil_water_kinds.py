"""Kinds of soil tests. Water in the soil, how loosely it lies, how heavy its grains are."""

from loamwright.notebook.fields import quantities, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")

KINDS = (
    Kind(
        "oven_moisture",
        "Water content by oven",
        "shake",
        (
            SOURCE,
            rows(
                "tins",
                "Tins",
                quantity("tare", "Empty tin", "mass", hint="0 if the scale was set to zero with it"),
                quantity("wet", "Tin with damp soil", "mass", required=True),
                quantity("before", "Dried, first weighing", "mass"),
                quantity("dry", "Dried again", "mass", required=True),
                expected=2,
            ),
            quantity(
                "oven", "Temperature of the oven", "temperature", hint="105 to 115 °C; 60 °C where there is gypsum or humus"
            ),
            quantity("between", "In the oven between the two weighings", "duration"),
            quantity("dried_for", "In the oven in all", "duration"),
            quantity("largest_size", "Largest grain", "length", hint="to tell whether the sample was large enough"),
            quantity("reported", "Or water content as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "bulk_density",
        "Loose and tamped density",
        "shake",
        (
            SOURCE,
            quantity("volume", "Volume of the measure", "volume", hint="struck level"),
            quantity("tare", "Empty measure", "mass"),
            quantities("loose", "Full, poured and struck", "mass", 3),
            quantities("tamped", "Full, tamped in layers and struck", "mass", 3),
            quantity("moisture", "Water content", "share", hint="the last pan test of this soil if you leave it out"),
            quantity("loose_reported", "Or dry loose density as reported", "density"),
            quantity("tamped_reported", "Or dry tamped density as reported", "density"),
            FOUND_BY,
        ),
    ),
    Kind(
        "bulking",
        "Bulking of damp sand",
        "shake",
        (
            SOURCE,
            quantity("damp", "Height of the damp sand", "length", required=True, hint="poured loose into a straight jar"),
            quantity("flooded", "Height under water", "length", required=True, hint="stirred, flooded and settled"),
            quantity("moisture", "Water content of the damp sand", "share"),
        ),
    ),
    Kind(
        "pycnometer",
        "Density of the grains",
        "shake",
        (
            SOURCE,
            quantity("empty", "Empty bottle", "mass"),
            quantity("filled", "Bottle full of water", "mass"),
            quantity("filled_at", "Temperature of that water", "temperature", hint="that of the test if you leave it out"),
            quantity("dry", "Dry soil", "mass"),
            quantity("with_soil", "Bottle with soil and water", "mass", hint="freed of air"),
            quantity("temperature", "Temperature of the test", "temperature"),
            quantity("reported", "Or grain density as reported", "density"),
            FOUND_BY,
        ),
    ),
)
