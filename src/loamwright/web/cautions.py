"""Which cautions belong to which step; the sentences stand in `words`."""

from collections.abc import Mapping

from loamwright.words.cautions import CAUTIONS

_OF_KIND: Mapping[str, tuple[str, ...]] = {
    "source": ("pit", "dust"),
    "pail_weighing": ("dust",),
    "oversize": ("dust",),
    "pan_test": ("hot_pan",),
    "stabiliser": ("cement",),
    "batch": ("cement", "mixer"),
    "weighing": ("cement",),
    "stabiliser_in": ("cement", "mixer"),
    "ladder_block": ("press",),
    "block": ("press",),
    "crush": ("rig",),
    "bend": ("rig",),
    "choice": ("trial",),
    "recipe": ("cement", "bags"),
    "proving_batch": ("cement", "press"),
}


def cautions_for(*names: str) -> list[str]:
    """Sentences for kinds of entries or for caution keys themselves, each once."""
    keys = [key for name in names for key in _OF_KIND.get(name, (name,) if name in CAUTIONS else ())]
    return [CAUTIONS[key] for key in dict.fromkeys(keys)]
