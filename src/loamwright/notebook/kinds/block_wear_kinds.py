"""Kinds of block tests. Brushing, frost, spray, drip, abrasion, dip, drop."""

from loamwright.notebook.fields import choice, flag, number, quantity, ref, rows, text, whole
from loamwright.notebook.kinds import Kind

BLOCK = ref("block", "Block", "block", required=True)
FOUND_BY = text("found_by", "Found by", hint="laboratory and number of its report")
SOIL_GROUPS = {
    "A-1": "A-1 gravel and sand",
    "A-2": "A-2, subgroup not known",
    "A-2-4": "A-2-4",
    "A-2-5": "A-2-5",
    "A-2-6": "A-2-6",
    "A-2-7": "A-2-7",
    "A-3": "A-3 fine sand",
    "A-4": "A-4 silt",
    "A-5": "A-5 silt",
    "A-6": "A-6 clay",
    "A-7": "A-7 clay",
}
_CYCLES = (
    BLOCK,
    choice("soil_group", "Road group of the soil", SOIL_GROUPS, hint="for the water that cement binds, and for the limit"),
    choice("stabiliser", "Stabilised with", {"cement": "cement", "lime": "lime", "none": "nothing"}),
    quantity("moulded_mass", "Mass as pressed", "mass", hint="that of the block if you leave it out"),
    quantity("moulded_water", "Moisture of the mix as pressed", "share", hint="that of its batch if you leave it out"),
    whole("cycles", "Cycles", required=True, hint="12 in the method"),
    rows(
        "weighings",
        "After each cycle",
        whole("cycle", "Cycle", required=True),
        quantity("mass", "Mass brushed", "mass", required=True),
    ),
    quantity("final_dry_mass", "Dried at 110 °C at the end", "mass", hint="0 where nothing was left"),
    quantity("volume_before", "Volume before", "volume"),
    quantity("volume_after", "Largest volume on the way", "volume"),
    quantity("force", "Force on the brush", "force", hint="13.3 N, 3 lb, in the method"),
    quantity("reported", "Or loss as reported", "share"),
    FOUND_BY,
)

KINDS = (
    Kind("block_brushing", "Wetted, dried and brushed", "break", _CYCLES),
    Kind(
        "block_freezing",
        "Frozen, thawed and brushed",
        "break",
        (
            *_CYCLES[:-1],
            quantity("coldest", "Coldest", "temperature", hint="−23 °C or below in the method"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_spray",
        "Face sprayed",
        "break",
        (
            BLOCK,
            quantity("pressure", "Pressure at the nozzle", "pressure", hint="50 kPa in the method"),
            quantity("distance", "Nozzle to face", "length", hint="470 mm in the method"),
            rows(
                "readings",
                "Depth of the deepest pit",
                quantity("after", "After", "duration", required=True, hint="every 15 min, to 60 min or until through"),
                quantity("depth", "Depth", "length", required=True, hint="with a flat rod of 10 mm"),
                required=True,
                expected=4,
            ),
            flag("through", "Was it through before the hour"),
            quantity("damp_depth", "Depth the damp has reached", "length", hint="on the broken face"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_drip",
        "Face dripped on",
        "break",
        (
            BLOCK,
            choice(
                "method",
                "Method",
                {"100_ml": "100 ml in 20 to 60 min from 400 mm", "steady": "steady drip for 10 min"},
                required=True,
            ),
            quantity("water", "Water dripped", "volume"),
            quantity("took", "In", "duration"),
            quantity("fall", "Height of fall", "length"),
            number("slope", "Slope of the face, degrees", hint="27 in the methods"),
            quantity("pit", "Depth of the pit", "length", required=True),
            quantity("damp_depth", "Depth the damp has reached", "length"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_abrasion",
        "Face brushed dry",
        "break",
        (
            BLOCK,
            quantity("brushed_length", "Length brushed", "length", required=True),
            quantity("brushed_width", "Width brushed", "length", required=True, hint="that of the brush"),
            quantity("mass_before", "Mass before", "mass", required=True),
            quantity("mass_after", "Mass after, brushed clean", "mass", required=True),
            quantity("load", "Load on the brush", "mass", hint="3 kg in the method"),
            whole("strokes", "Strokes, to and fro", hint="60 in the method"),
            quantity("took", "In", "duration", hint="1 min in the method"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_dip",
        "Block dipped in water",
        "break",
        (
            BLOCK,
            quantity("mass_before", "Mass before", "mass", required=True, hint="air-dry"),
            quantity("mass_after", "Mass after, dried as before", "mass", hint="or weigh what came off"),
            quantity("came_off", "Dry mass that came off", "mass"),
            quantity("after", "In the water for", "duration", hint="10 min in the method"),
            FOUND_BY,
        ),
    ),
    Kind(
        "block_drop",
        "Block dropped",
        "break",
        (
            BLOCK,
            quantity("height", "Height of the drop", "length", required=True, hint="0.9 m in the method"),
            choice("ground", "On to", {"hard": "hard ground", "soft": "soft ground"}),
            choice(
                "did",
                "What it did",
                {
                    "whole": "stayed whole",
                    "corner": "lost a corner",
                    "halves": "broke in about equal pieces",
                    "rubble": "broke in many pieces",
                },
                required=True,
            ),
            quantity("corner", "Size of the corner lost", "length", hint="it fails above 100 mm"),
            quantity("mass", "Mass before", "mass"),
            quantity("largest_piece", "Largest piece", "mass"),
            FOUND_BY,
        ),
    ),
)
