"""Cautions, and the steps they belong to: on pages, in the shell, on papers. Local rules and licensed practice come first."""

from collections.abc import Mapping

from loamwright.words.language import tr

CAUTIONS: Mapping[str, str] = {
    "cement": "Cement and lime burn skin and eyes slowly and without early pain: gloves, goggles, and clean water for the eyes "
    "at hand. Quicklime stays off the bench.",
    "dust": "Dry soil and screening raise quartz dust: wear a mask and damp the soil down.",
    "pit": "Nobody enters an unsupported pit deeper than 1.2 m, or any pit that a competent person has not looked at. Auger below.",
    "mixer": "Mixers and pulverisers catch sleeves: stop them before you reach in.",
    "press": "Keep hands out of the mould while the press moves. Oil under pressure cuts: never feel for a leak.",
    "rig": "Presses, jacks and lever rigs fail suddenly: put up a guard, stand aside, hang the bucket low over sand.",
    "hot_pan": "A hot pan burns and damp soil can spit: tongs, and stir with a dry stick.",
    "bags": "A 50 kg bag is a load for two people.",
    "acid": "Acids and caustic soda burn: goggles, gloves, water at hand.",
    "trial": "Results guide a trial. Structural use, wall design and acceptance belong to local codes and licensed practice; "
    "a pass here is not a permit.",
    "failed_lot": "A lot that failed never goes into anything that bears load without the engineer's signature.",
}

_OF_KIND: Mapping[str, tuple[str, ...]] = {
    "source": ("pit", "dust"),
    "pit_log": ("pit", "dust"),
    "soil_sample": ("pit", "dust"),
    "pail_weighing": ("dust",),
    "oversize": ("dust",),
    "pan_test": ("hot_pan",),
    "organic_colour": ("acid",),
    "carbonate_fizz": ("acid",),
    "sulfate": ("acid",),
    "ignition": ("hot_pan",),
    "lime_demand": ("cement",),
    "soil_cement_ph": ("cement",),
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
    return [tr(CAUTIONS[key]) for key in dict.fromkeys(keys)]
