"""What is said of plans and designs, and of the classical comparisons."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "too_few_groups": "{have} to compare where at least {need} are needed.",
    "batches_do_not_differ": "The batches of {first} and {second} are equal to the last digit, so there is no spread to measure a "
    "difference by. Were batch means typed instead of blocks?",
    "columns_alike": "What was varied does not tell the parts of the model apart. Vary each source and each setting by itself, too.",
    "shares_do_not_add_up": "The shares of a blend add up to {total}; they must add up to 1.",
    "no_blend_left": "No blend of {parts} parts lies within these limits. Widen the least or the most of one source.",
    "levels_alike": "{variable} has the level {level} alone; give it two levels or leave it out of the plan.",
    "too_many_candidates": "{n} possible batches are too many to search ({most} at most). Take fewer parts in all or fewer levels.",
    "good_not_above_bad": "The good mix must be stronger than the bad one: {good} MPa against {bad} MPa.",
}
