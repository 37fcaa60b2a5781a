"""Kinds of soil tests. Pits, samples, quartering."""

from loamwright.notebook.fields import choice, date, flag, quantity, ref, rows, text, whole
from loamwright.notebook.kinds import Kind

SOURCE = ref("source", "Source", "source", required=True)

KINDS: tuple[Kind, ...] = (
    Kind(
        "pit_log",
        "Pit or auger hole",
        "shake",
        (
            SOURCE,
            choice(
                "how",
                "Seen in",
                {"pit": "a pit", "auger": "an auger hole", "cut": "a cut or bank", "well": "a well or foundation"},
                required=True,
            ),
            rows(
                "layers",
                "Layers, from the ground down",
                quantity("top", "From", "length", required=True),
                quantity("bottom", "To", "length", required=True),
                choice("use", "It is", {"topsoil": "topsoil", "wanted": "wanted", "other": "kept apart"}),
                text("colour", "Colour"),
                choice("smell", "Smell", {"none": "none", "musty": "musty", "rotten": "rotten eggs"}),
                choice("moisture", "Moisture", {"dry": "dry", "damp": "damp", "wet": "wet"}),
                choice("roots", "Roots", {"none": "none", "few": "a few", "many": "many"}),
                quantity("stones", "Stones, by eye", "share"),
                flag("crystals", "White crystals"),
                required=True,
                expected=3,
            ),
            quantity("water_at", "Water stood at", "length", hint="depth below the ground; leave empty if there was none"),
            choice(
                "sides",
                "Its sides are",
                {"supported": "supported, or sloped back", "straight": "cut straight without support"},
                hint="nobody enters an unsupported pit deeper than 1.2 m",
            ),
            flag("looked_at", "A competent person has looked at it"),
            quantity("field_length", "This soil reaches, one way", "length", hint="for the reserve"),
            quantity("field_width", "and the other way", "length"),
            text("place", "Where it is", hint="paces from something that stays, or coordinates"),
            date("on", "Dug on"),
        ),
    ),
    Kind(
        "soil_sample",
        "Sample taken",
        "shake",
        (
            SOURCE,
            quantity("mass", "Damp mass brought", "mass", required=True),
            choice(
                "taken_from",
                "Taken from",
                {
                    "wall": "the wall of a pit or cut, a slice of the whole layer",
                    "auger": "an auger",
                    "pile_inside": "a pile, from inside and from several places",
                    "pile_surface": "the surface of a pile",
                },
            ),
            ref("pit", "Pit or auger hole", "pit_log"),
            quantity("top", "From a depth of", "length"),
            quantity("bottom", "to", "length"),
            whole("spots", "Put together from how many places"),
            whole("quarterings", "Quartered, how often", hint="coned, flattened, two opposite quarters kept"),
            quantity("stones", "Stones taken off before", "mass", hint="kept out of the mass brought"),
            quantity("screen", "Taken off on a screen of", "length"),
            flag("labelled", "Tags inside and outside the bag"),
            flag("witness", "A part is kept as a witness"),
            date("on", "Taken on"),
        ),
    ),
)
