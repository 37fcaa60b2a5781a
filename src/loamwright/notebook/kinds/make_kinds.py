"""Kinds of Make: recipe in pails and bags, proving batch, morning check."""

from loamwright.notebook.fields import choice, date, flag, quantities, quantity, ref, rows, told, whole
from loamwright.notebook.kinds import Kind

KINDS = (
    Kind(
        "recipe",
        "Recipe",
        "make",
        (
            ref("choice", "For the choice", "choice", required=True),
            ref("mixer", "Mixer", "mixer"),
            ref("press", "Press", "press"),
            ref("container", "Pail", "container"),
            whole("sets", "Sets of pails", required=True),
            whole("half_bags", "Half bags", required=True),
            flag("hot", "Made for days above 30 °C"),
            told("shown", "Figures as shown"),
        ),
    ),
    Kind(
        "proving_batch",
        "Proving batch",
        "make",
        (
            ref("recipe", "Recipe", "recipe", required=True),
            date("on", "Pressed on", hint="today if you leave it out"),
            flag("tally_exact", "Every pail and bag counted and right"),
            whole("blocks", "Blocks pressed"),
            quantities("masses", "Masses of some blocks", "mass", 5),
            quantities("heights", "Their heights", "length", 5),
            whole("soaked", "Blocks soaked on day 7"),
            whole("whole_after_soak", "of these still whole"),
            date("soaked_on", "Looked at after the soak on", hint="day 7 or later"),
        ),
    ),
    Kind(
        "morning_check",
        "Morning check",
        "make",
        (
            ref("recipe", "Recipe", "recipe", required=True),
            ref("container", "Measure filled with water", "container"),
            quantity("water_volume", "Water in it", "volume"),
            quantity("water_mass", "Water, as the scale says", "mass", hint="zero the scale with the empty measure on it"),
            rows(
                "pails",
                "One pail and one pan of each source",
                ref("source", "Source", "source", required=True),
                quantity("gross", "Full pail", "mass"),
                quantity("pan_wet", "Damp soil in the pan", "mass", hint="zero the scale with the empty pan on it"),
                quantity("pan_dry", "The same, dried", "mass"),
            ),
            choice("weather", "Weather", {"dry": "dry", "rain": "rain since yesterday", "hot": "above 30 °C"}),
        ),
    ),
)
