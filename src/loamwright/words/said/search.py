"""What is said of the search for a blend, and of what upsets one."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "no_windows": "Say what the blend should meet: choose one window or more.",
    "not_known_of_every_source": "The {property} is not known of every soil of the blend: test it for each, or leave out what asks for it.",
    "no_common_sieve": "The gradings of these soils have no sieve in common: sieve one of them on the sieves of the other.",
    "weighed_by_fines": "The {property} of the blend is a first guess: each soil counts by what it brings of the part that is tested ({carrier}). A test of the blend itself overrules it.",
    "optimum_not_proven": "The search for the best shares was stopped after {seconds} s: there may be a slightly better blend.",
    "search_said": "{ratios} ratios were screened in {screen} possible worlds, the best judged in {draws}. Chances are known to {error_pct} points of per cent or better.",
    "spared_least": "Least {source} that still lies in every window with {chance_pct} % chance: {share_pct} % of the dry soil, about {parts}.",
    "spared_forbidden": "No blend of these lies in every window with {chance_pct} % chance. What forbids it: {windows}.",
    "upset_damp": "{source} damp instead of dry: clay {after_pct} % instead of {before_pct} %, {chance} in the window (was {chance_before}). Damp sand takes more room; fill by weight or add a pail.",
    "upset_heaped": "{source} heaped instead of struck: clay {after_pct} % instead of {before_pct} %, {chance} in the window (was {chance_before}). Strike off every pail.",
    "upset_pit": "{source} with a quarter more clay than believed: clay {after_pct} % instead of {before_pct} %, {chance} in the window (was {chance_before}). Shake a jar when the pit changes.",
}
