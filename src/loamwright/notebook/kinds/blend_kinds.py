"""Kinds of Blend: sources in whole parts by volume, and mixes of a blend with a stabiliser at a dose."""

from loamwright.notebook.fields import choice, quantity, ref, rows, text, whole
from loamwright.notebook.kinds import Kind
from loamwright.notebook.kinds.today_kinds import BASIS

KINDS = (
    Kind(
        "blend",
        "Blend",
        "blend",
        (
            rows(
                "parts",
                "Parts by volume",
                ref("source", "Source", "source", required=True),
                whole("parts", "Parts", required=True),
                required=True,
            ),
            text("name", "Name", hint="left empty, the names of its sources are used"),
        ),
    ),
    Kind(
        "mix",
        "Mix",
        "blend",
        (
            ref("blend", "Blend", "blend", required=True),
            ref("stabiliser", "Stabiliser", "stabiliser", hint="none for soil alone"),
            quantity("dose", "Dose", "share", required=True, hint="usual for cement: 4 to 10 %"),
            choice("basis", "The dose is a", BASIS, required=True),
        ),
    ),
)
