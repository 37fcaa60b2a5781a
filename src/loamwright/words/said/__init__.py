"""Sentences by code, one module a stage; each module holds `SAID`, code to template with named placeholders."""

from collections.abc import Mapping
from functools import cache
from importlib import import_module

MODULES = (
    "faults",
    "notes",
    "questions",
    "bench",
    "evidence",
    "soil",
    "brief",
    "shake",
    "blend",
    "ladder",
    "plan",
    "press",
    "breaking",
    "compare",
    "choose",
    "make",
    "papers",
    "files",
    "shell",
    "arriving",
    "soil_water",
    "soil_grading",
    "soil_limits",
    "soil_swelling",
    "soil_compaction",
    "soil_salts",
    "soil_feel",
    "soil_classes",
    "soil_sampling",
    "block_size",
    "block_strength",
    "block_water",
    "block_wear",
    "belief",
    "search",
    "rules",
    "designs",
)


@cache
def said() -> Mapping[str, str]:
    """Every sentence by its code; two modules may not hold one code."""
    found: dict[str, str] = {}
    for name in MODULES:
        for code, template in import_module(f"loamwright.words.said.{name}").SAID.items():
            if code in found:
                raise ValueError(f"two sentences for {code}")
            found[code] = template
    return found
