"""Sentences of the trial plan."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # values that make no plan
    "seed_missing": "A plan needs a word or date to draw its order from. The same word gives the same order again.",
    "no_mix_chosen": "No mix is chosen. Tap the mixes to try.",
    "one_mix_only": "One mix alone has nothing to be told from. Choose two or more.",
    # what each plan is
    "plan_small": "One batch of each mix, soaked blocks only. It drops hopeless mixes; it cannot tell good ones apart.",
    "plan_usual": "The two best again on a second day: batches differ, so one batch of each proves little.",
    "plan_official": "The chosen mix and its runner-up, three batches on three days, with the number of blocks the rule asks "
    "for.",
    "plan_places_usual": "Which two are made again is open until the first day's blocks are broken. Needs are those of the "
    "neediest mix.",
    "plan_places_official": "Which two mixes is open: name them as their first batch is opened. Needs are those of the neediest"
    " mix.",
    "rule_n_not_known": "No brief names a number of blocks: {n} a batch are taken.",
    # the rig
    "rig_none": "No breaking rig is written down. Find out first who can break the blocks.",
    "rig_no_brief": "No strength is asked for yet, so it cannot be said what load the rig must reach. Write the brief.",
    "rig_no_capacity": "{rig}: the most load it gives is not written down.",
    "rig_enough": "The rig gives {rig_capacity} kN, and {load_needed} kN should be at hand: enough.",
    "rig_not_checked": "{rig} was never checked against a known load: what it breaks is for screening only.",
    "rig_scrap_first": "Break {left} scrap blocks first, to see the rig work and to learn its feel.",
    # what does not fit
    "plan_without_rows": "This plan holds no batches that can be read. Make it again.",
    "plan_row_twice": "Two batches were opened for row {row} of the plan.",
    "why_plan_row_twice": "The first one counts for the plan; both count as batches of their mix.",
    "plan_other_mix": "{names} was opened for row {row} of the plan, which is of another mix.",
    "why_plan_other_mix": "The batch counts as what was weighed. The plan then lacks a batch of the mix it named.",
    "plan_one_day": "{names}, of day {second} of the plan, was made on the same date as day {first}.",
    "why_plan_one_day": "A second day brings other weather and other hands. Made on one date, the two batches share more than "
    "they should.",
    "due_plan_batch": "Open batch {row}, day {day}. {name}",
}
