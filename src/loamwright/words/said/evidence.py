"""Sentences of the statistics of strength and of building rules."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # too little to say anything
    "too_few_values": "{have} blocks so far where at least {need} are needed. Break more blocks of this mix.",
    "too_few_batches": "{have} batches where at least {need} are needed: one batch cannot show how batches differ.",
    "no_mixes": "No mix has broken blocks yet. Break some first.",
    "no_batches": "A mix has no batch with broken blocks yet.",
    "no_scatter_share": "Every block fell apart: there is no spread to take a share of.",
    "not_finite": "{quantity} is not a number that can be computed with. Look at the reading.",
    "approximation_does_not_hold": "The handbook’s short formula does not hold for {n} blocks at {confidence} confidence; "
    "take the exact one.",
    "chance_not_reached": "Blocks that scatter so much never pass that often, however strong (tried up to {most} MPa).",
    "known_coefficient_of_variation_missing": "This rule takes a scatter known from many earlier lots; none was given.",
    "unknown_mix": "There is no comparison of {first} with {second}.",
    "unknown_side": "Suspect the highest value, the lowest, or both ends; “{side}” is none of these.",
    "unknown_statistic": "“{statistic}” is no way to judge blocks that is known here. Known are: {known}.",
    "unknown_comparator": "“{comparator}” does not compare two numbers. Known are: {known}.",
    # rules and briefs
    "unknown_rule": "There is no rule “{rule}” in the list. Choose one from the list of rules.",
    "unknown_clause": "This rule has no clause “{clause}”. It has: {known}.",
    "grade_needed": "This rule has grades: say which one the blocks are meant to be. It has: {grades}.",
    "unknown_grade": "This rule has no grade “{grade}”. It has: {grades}.",
    "unknown_use": "This rule knows no use “{use}”. It knows: {uses}.",
    "class_limit_missing": "The clause {clause} asks for a share of a grade’s mean, and the rule holds no such mean.",
    "no_reader": "Say who read the clause {clause} in the document.",
    "unknown_condition": "Blocks are tested soaked or dry; “{condition}” is neither.",
    "soak_hours_needed": "Say for how many hours the blocks are soaked before the test.",
    "soak_of_dry_block": "A dry block is not soaked, yet {soak_hours} h are given. Choose one of the two.",
    "each_above_mean": "Each block is asked to reach {each_least} MPa, more than the mean of {mean_least} MPa. Are the two "
    "swapped?",
    # ranking
    "mix_repeats": "A mix stands twice in the ranking: {mixes}.",
    "mix_without_figures": "No figures to rank by for {mixes}.",
    "unknown_code": "“{value}” is not known as {quantity}. Known are: {known}.",
    "no_breaks": "No block of this mix is broken yet, so nothing can be said of a later age.",
    # what stands beside a figure
    "forecast_beyond_ages": "The growth of strength is known from day {from_age} to day {to_age} only; beyond it this is a guess.",
    "batch_mates_share_errors": "Blocks of one batch share its errors, so with few batches this is less cautious than it looks.",
    "cautious_value_not_positive": "The spread is so wide that nothing is left: more blocks, or a steadier mix.",
    "uncorrected_for_pairs": "{pairs} pairs are looked at, each by itself: with many pairs one may look apart by chance.",
    "few_values_for_test": "With {n} values the test of outliers is rough; it holds well from {reliable_from} on.",
    # why a clause is not shown yet
    "blocks_missing": "{have} of {need} blocks are there.",
    "other_condition": "{blocks} broken in another condition than asked",
    "other_value_form": "{blocks} without the shape correction that the rule asks for",
    "soak_too_short": "{blocks} soaked too short",
    "soak_not_said": "{blocks} soaked for a time nobody wrote down",
    "other_soak": "{blocks} soaked for another time: a different test",
    "age_unknown": "{blocks} of unknown age",
    "too_young": "{blocks} too young",
    "missing_screening_only": "{blocks} read with something uncalibrated: for screening only",
    # what keeps a met clause from being a proof
    "rule_soak_unknown": "How long the rule soaks is not known here; these were soaked {soak_hours} h.",
    "rule_n_unknown": "How many blocks the rule asks for is not known here; there are {blocks}.",
    "older_than_rule": "Up to {age_days} days old where {rule_age_days} were asked.",
    "cautious_rule_assumed": "How the rule takes its characteristic value is not known here; EN 1990 Annex D is taken.",
}
