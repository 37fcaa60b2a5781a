"""Kinds of Dig: sources, stabilisers, stop questions, struck pails, pan tests, oversize."""

from loamwright.notebook.fields import choice, date, flag, quantities, quantity, ref, text
from loamwright.notebook.kinds import Kind

STOP_QUESTIONS = {
    "crystals": "White crystals or a crust on the soil?",
    "smell": "Musty smell, dark, roots or fibres?",
    "cloud": "Does a crumb in still clean water make a cloud?",
    "salty_water": "Is the mixing water salty or brackish?",
    "swelling": "Does it swell: jar above the dry mark, wide cracks in the dry pit?",
}

KINDS = (
    Kind(
        "source",
        "Soil, sand or fines",
        "dig",
        (
            text("name", "What do you call it", required=True),
            choice(
                "material",
                "What is it mostly",
                {"clay": "clay-rich soil", "sand": "sandy soil or sand", "silt": "silty soil", "fines": "quarry fines"},
            ),
            text("place", "Where from"),
            quantity("distance", "Way to haul", "length"),
            text("price", "Price", hint="a number in your money"),
            choice("price_per", "for one", {"t": "tonne", "m3": "m³ loose", "trip": "trip"}),
            quantity("trip_mass", "One trip carries", "mass"),
            choice("ease", "How easy to get", {"easy": "easy", "fair": "some effort", "hard": "hard"}),
            quantity("amount", "How much there is", "volume"),
            quantity("screen", "Screened through", "length"),
            choice("lumps", "Clay lumps after screening", {"none": "none", "few": "a few", "many": "many"}),
        ),
    ),
    Kind(
        "stabiliser",
        "Stabiliser",
        "dig",
        (
            text("name", "What do you call it", required=True),
            choice("type", "Type", {"cement": "cement", "lime": "hydrated lime"}, required=True),
            text("strength_class", "Strength class on the bag"),
            quantity("bag_mass", "One bag as weighed", "mass"),
            text("bag_price", "Price of one bag"),
            date("bag_date", "Date on the bag"),
            flag("sealed", "Bag sealed and free of lumps"),
            quantity("loose_density", "Loose density", "density", hint="leave empty to use a usual value, which is then said"),
        ),
    ),
    Kind(
        "stop_check",
        "Stop question",
        "dig",
        (
            ref("source", "Source", "source", required=True),
            choice("question", "Question", STOP_QUESTIONS, required=True),
            choice(
                "answer",
                "Answer",
                {"no": "no", "yes": "yes", "unsure": "not sure", "settled": "settled by a test"},
                required=True,
            ),
            text("how", "How was it settled"),
        ),
    ),
    Kind(
        "pail_weighing",
        "Struck pails weighed",
        "dig",
        (
            ref("source", "Source", "source", required=True),
            ref("container", "Pail", "container", required=True),
            quantities("gross", "Full pail, filled your way and struck", "mass", 3, required=True),
            quantity("tare", "Empty pail", "mass", hint="the remembered empty mass if you leave this out"),
        ),
    ),
    Kind(
        "pan_test",
        "Pan test of moisture",
        "dig",
        (
            ref("about", "Of what", "source", "blend", required=True),
            quantity("pan", "Empty pan", "mass"),
            quantity("wet", "Pan with damp soil", "mass", required=True),
            quantity("dry_before", "After drying, first weighing", "mass"),
            quantity("dry", "After drying again", "mass", required=True, hint="dry until two weighings are equal"),
            quantity("scale_step", "Smallest step of that scale", "mass"),
        ),
    ),
    Kind(
        "oversize",
        "Oversize on the screen",
        "dig",
        (
            ref("source", "Source", "source", required=True),
            quantity("sample", "Sample before screening", "mass", required=True),
            quantity("retained", "Stayed on the screen", "mass", required=True),
            quantity("screen", "Screen opening", "length"),
        ),
    ),
)
