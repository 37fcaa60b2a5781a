"""Kinds of Shake: jars, the moment each was set down, its readings; guesses."""

from loamwright.notebook.fields import choice, moment, quantity, ref, text
from loamwright.notebook.kinds import Kind

LAYERS = {
    "bed": "top of all that has settled",
    "sand_top": "top of the sand",
    "silt_top": "top of the silt",
    "clay_top": "top of the clay, at the end",
}

KINDS = (
    Kind(
        "jar",
        "Jar set up",
        "shake",
        (
            ref("source", "Source", "source", required=True),
            quantity("fill", "Dry fill mark", "length", required=True, hint="height of the dry soil before water"),
            quantity("water", "Water surface", "length", required=True),
            quantity("temperature", "Water temperature", "temperature"),
            choice("added", "Added", {"nothing": "nothing", "salt": "salt", "dispersant": "dispersant"}, required=True),
            quantity("screen", "Soil screened through", "length"),
            moment("set_down", "Set down at", hint="the moment it stood still; leave empty and tap it when you set it down"),
        ),
    ),
    Kind(
        "jar_stands",
        "Jar set down",
        "shake",
        (ref("jar", "Jar", "jar", required=True),),
        asked=False,
    ),
    Kind(
        "jar_reading",
        "Jar reading",
        "shake",
        (
            ref("jar", "Jar", "jar", required=True),
            quantity("after", "After", "duration", required=True, hint="since the jar was set down"),
            choice("layer", "What was read", LAYERS, required=True),
            quantity("height", "Height from the bottom", "length", required=True),
            choice("water_above", "Water above", {"clear": "clear", "cloudy": "cloudy"}),
        ),
    ),
    Kind(
        "guess",
        "Plain guess",
        "shake",
        (
            ref("source", "Source", "source", required=True),
            choice(
                "soil_class",
                "Looks like",
                {
                    "sand": "sand",
                    "loamy_sand": "loamy sand",
                    "sandy_loam": "sandy loam",
                    "loam": "loam",
                    "silt_loam": "silt loam",
                    "silt": "silt",
                    "sandy_clay_loam": "sandy clay loam",
                    "clay_loam": "clay loam",
                    "silty_clay_loam": "silty clay loam",
                    "sandy_clay": "sandy clay",
                    "silty_clay": "silty clay",
                    "clay": "clay",
                },
                required=True,
            ),
        ),
    ),
    Kind(
        "limits",
        "Limits of the fines",
        "shake",
        (
            ref("source", "Source", "source", required=True),
            quantity("liquid_limit", "Liquid limit", "share", required=True, hint="from a laboratory report"),
            quantity("plastic_limit", "Plastic limit", "share", hint="leave empty where no thread could be rolled"),
            text("found_by", "Found by", hint="laboratory and number of its report"),
        ),
    ),
)
