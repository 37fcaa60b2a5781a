"""Kinds of Choose: the choice of a mix, with its reason and what it stood on."""

from loamwright.notebook.fields import ref, text, told
from loamwright.notebook.kinds import Kind

KINDS = (
    Kind(
        "choice",
        "Choice of the mix",
        "choose",
        (
            ref("mix", "Mix", "mix", required=True),
            text("reason", "Why this one", required=True),
            text("agreed_by", "Agreed by"),
            told("stood_on", "What it stood on"),
        ),
    ),
)
