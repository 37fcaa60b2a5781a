"""Kinds of soil tests. Salts, acids, organic matter, lime demand."""

from loamwright.notebook.fields import Field, choice, flag, number, quantity, ref, rows, text
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")


def _extract(salt: str) -> tuple[Field, ...]:
    """How a salt was taken out of the soil, and what was read."""
    return (
        number("water_per_soil", "Parts of water to one of dry soil", hint="by mass: 1 for a 1:1 strip, 10 for a 10:1 extract"),
        number("read_mg_l", f"{salt} in the extract, mg/l", hint="as the strip, meter or laboratory gives it"),
        number("in_water_mg_l", f"{salt} in the water that was used, mg/l", hint="0 for distilled; a strip in the water alone"),
        flag("off_scale", "The reading was at the end of its scale"),
        quantity("stood", "The extract stood for", "duration", hint="3 h for a strip"),
        number("reported_mg_kg", f"Or {salt.lower()} of dry soil as reported, mg/kg"),
    )


KINDS: tuple[Kind, ...] = (
    Kind(
        "sulfate",
        "Sulfate",
        "shake",
        (
            SOURCE,
            choice(
                "how",
                "Taken out of the soil by",
                {"water": "water", "acid": "acid (or total sulfate)"},
                required=True,
                hint="a strip is always of a water extract",
            ),
            *_extract("Sulfate"),
            choice("read_as", "The number is", {"so4": "sulfate, SO4", "so3": "SO3"}, hint="SO4 if you leave it out"),
            flag("crystals", "White crystals or needles seen in this soil"),
            choice(
                "sulfides",
                "Sulfides?",
                {"no": "no sign", "yes": "yes", "unsure": "not sure"},
                hint="rotten eggs, blue-grey or black clay, marine clay, mine waste, brassy grains",
            ),
            number("total_sulfur_mg_kg", "Total sulfur of dry soil, mg/kg", hint="only a laboratory finds it"),
            FOUND_BY,
        ),
    ),
    Kind("chloride", "Chloride", "shake", (SOURCE, *_extract("Chloride"), FOUND_BY)),
    Kind(
        "soluble_salts",
        "Soluble salts",
        "shake",
        (
            SOURCE,
            number("water_per_soil", "Parts of water to one of dry soil", hint="by mass"),
            quantity("evaporated", "Clear extract dried down", "volume"),
            quantity("dish", "Empty dish", "mass"),
            quantity("dish_with_salts", "Dish with what was left", "mass"),
            quantity("reported", "Or soluble salts of dry soil as reported", "share"),
            FOUND_BY,
        ),
    ),
    Kind(
        "soil_ph",
        "Acidity of the soil",
        "shake",
        (
            SOURCE,
            rows("readings", "Readings", number("ph", "pH", required=True), required=True, expected=2),
            number("water_per_soil", "Parts of water to one of dry soil", hint="by mass, often 1 or 2.5"),
            choice("read_with", "Read with", {"meter": "a meter", "strip": "a strip or paper"}),
            FOUND_BY,
        ),
    ),
    Kind(
        "organic_colour",
        "Colour in caustic soda",
        "shake",
        (
            SOURCE,
            choice(
                "colour",
                "The liquid above is",
                {"clear": "clear", "straw": "like straw", "tea": "like tea", "darker": "darker than tea"},
                required=True,
                hint="3 % caustic soda, shaken, left for a day; goggles and gloves",
            ),
            quantity("stood", "It stood for", "duration", hint="24 h"),
            quantity("caustic", "Caustic soda in the solution", "share", hint="3 %"),
        ),
    ),
    Kind(
        "ignition",
        "Organic matter by furnace or laboratory",
        "shake",
        (
            SOURCE,
            quantity("dish", "Empty dish", "mass"),
            quantity("dried", "Dish with soil dried at 105 °C", "mass"),
            quantity("burnt", "The same after the furnace", "mass", hint="cooled in dry air"),
            quantity("furnace", "Furnace", "temperature", hint="440 °C"),
            quantity("reported", "Or organic matter as reported", "share"),
            choice(
                "reported_by",
                "It was found by",
                {"ignition": "loss on ignition", "carbon": "organic carbon or oxidation"},
                hint="ignition if you leave it out",
            ),
            FOUND_BY,
        ),
    ),
    Kind(
        "lime_demand",
        "Lime demand",
        "shake",
        (
            SOURCE,
            rows(
                "bottles",
                "Bottles",
                quantity("lime", "Lime over dry soil", "share", required=True),
                number("ph", "pH after an hour", required=True),
                required=True,
                expected=5,
            ),
            quantity("temperature", "Temperature of the slurry", "temperature", hint="the pH wanted, 12.4, holds at 25 °C"),
            FOUND_BY,
        ),
    ),
    Kind(
        "carbonate_fizz",
        "Fizz in acid",
        "shake",
        (
            SOURCE,
            choice("acid", "Acid", {"vinegar": "vinegar", "hydrochloric": "dilute hydrochloric acid"}, hint="goggles"),
            choice(
                "fizz",
                "It",
                {"none": "does not fizz", "weak": "fizzes weakly, to be heard", "strong": "fizzes strongly, to be seen"},
                required=True,
            ),
        ),
    ),
    Kind(
        "soil_cement_ph",
        "Paste of soil and cement",
        "shake",
        (
            SOURCE,
            number("ph", "pH of the paste", required=True),
            quantity("soil", "Dry soil", "mass", hint="ten parts to one of cement"),
            quantity("cement", "Cement", "mass"),
            quantity("after", "Read after", "duration", hint="15 min"),
            FOUND_BY,
        ),
    ),
)
