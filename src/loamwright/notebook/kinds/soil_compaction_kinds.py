"""Kinds of soil tests. Water against density."""

from loamwright.notebook.fields import choice, quantity, ref, rows, text, whole
from loamwright.notebook.kinds import Kind

EFFORTS = {
    "press": "the press itself",
    "standard_4in": "standard effort, 4 in mould",
    "standard_6in": "standard effort, 6 in mould",
    "modified_4in": "modified effort, 4 in mould",
    "modified_6in": "modified effort, 6 in mould",
    "is_light": "light compaction, IS 2720 part 7",
    "is_heavy": "heavy compaction, IS 2720 part 8",
    "bs_light": "2.5 kg rammer, BS 1377-4",
    "bs_heavy": "4.5 kg rammer, BS 1377-4",
    "en_standard": "standard Proctor, EN 13286-2, mould A",
    "en_modified": "modified Proctor, EN 13286-2, mould A",
    "other": "another rammer",
}
"""Every effort of data/efforts.toml, the press, and any other rammer."""

KINDS: tuple[Kind, ...] = (
    Kind(
        "compaction",
        "Dry density against water",
        "shake",
        (
            ref("source", "Source", "source", required=True),
            choice("effort", "Compacted by", EFFORTS, required=True),
            rows(
                "points",
                "Points",
                quantity("filled", "Mould with soil, or block", "mass"),
                quantity("height", "Height of the block", "length", hint="where a press made it"),
                quantity("wet", "Tin with damp soil", "mass"),
                quantity("dry", "Tin with dry soil", "mass"),
                quantity("tare", "Empty tin", "mass", hint="0 if the scale was set to zero with it"),
                quantity("water", "Or water content", "share"),
                quantity("dry_density", "Or dry density", "density"),
                hint="four or more, from too dry to too wet",
                expected=5,
            ),
            quantity("mould_mass", "Empty mould", "mass", hint="0 if the soil was weighed alone"),
            quantity("mould_volume", "Volume of the mould", "volume", hint="that of the standard if you leave it out"),
            quantity("rammer", "Another rammer: mass", "mass"),
            quantity("drop", "Another rammer: drop", "length"),
            whole("layers", "Another rammer: layers"),
            whole("blows", "Another rammer: blows a layer"),
            ref("press", "Press", "press"),
            quantity("gauge", "Gauge reading of the press", "pressure"),
            quantity("grain_density", "Density of the grains", "density", hint="the last pycnometer test if you leave it out"),
            quantity("coarse", "Stones left out", "share", hint="over the whole, by dry mass"),
            quantity("coarse_density", "Density of the stones", "density", hint="that of the grains if you leave it out"),
            quantity("coarse_water", "Water of the stones", "share", hint="2 % if you leave it out"),
            quantity("reported_water", "Or optimum as reported", "share"),
            quantity("reported_density", "Or greatest dry density as reported", "density"),
            text("found_by", "Found by", hint="laboratory and number of its report"),
        ),
    ),
)
