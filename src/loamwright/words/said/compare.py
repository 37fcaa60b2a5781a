"""Sentences of the comparison of mixes."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "second_scatter": "Blocks of one batch scatter by {blocks_pct} %, batches of one mix by {batches_pct} %. Mixes held against batches: p {chance}. Held against blocks, as if each were its own batch, it would look like p {blind}; that is too good to be true.",
    "second_differs": "{first} over {second}: {ratio} times ({low} to {high}, 90 %), p {chance} by batches, allowing for all pairs: they differ.",
    "second_alike": "{first} over {second}: {ratio} times ({low} to {high}, 90 %): the same within 10 %.",
    "second_open": "{first} over {second}: {ratio} times ({low} to {high}, 90 %), p {chance}: neither shown to differ nor to be the same. More batches would tell.",
    "verdict_complies": "complies",
    "verdict_met": "met",
    "verdict_not_met": "not met",
    "verdict_not_shown_yet": "not shown yet",
    "verdict_none": "no brief yet",
    "clause_mean": "mean",
    "clause_individual": "each",
    "clause_least_of_n": "least",
    "clause_fractile_5": "5 % value",
    "clause_characteristic": "characteristic value",
    "pair_apart": "{stronger} is stronger than {weaker}: {share} as it looks, {sure} sure.",
    "pair_not_apart_each": "{first} and {second} cannot be told apart yet; {more} of each would tell.",
    "pair_not_apart_one": "{first} and {second} cannot be told apart yet; {more} of {which} would tell.",
    "pair_not_apart_both": "{first} and {second} cannot be told apart yet; {more_first} of the first and {more_second} of the "
    "second would tell.",
    "pair_not_apart_never": "{first} and {second} cannot be told apart, and six batches of each would not tell either: take them "
    "as equally strong.",
    "pair_one_batch_each": "{first} and {second}: {have}. What looks like a better mix may be a better mixing.",
    "pair_one_each": "{more} of each would tell the difference as it now looks, {share}.",
    "pair_one_one": "{more} of {which} would tell the difference as it now looks, {share}.",
    "pair_one_both": "{more_first} of the first and {more_second} of the second would tell the difference as it now "
    "looks, {share}.",
    "pair_one_never": "Six batches of each would not tell a difference as small as it now looks, {share}.",
    "pair_left_out": "{mix} is not held against the others: a block of it fell apart in water and has no strength to compare.",
    "mix_too_young": "Too early to judge: {stabiliser} shows itself from day {age_days}.",
    "mix_too_young_on": "Too early to judge: {stabiliser} shows itself from day {age_days} ({day}).",
    "blocks_screening": "{blocks} of its blocks were read for screening only: they help to choose and cannot meet a brief.",
    "blocks_dissolved": "{blocks} of its blocks fell apart in water and count as no strength at all.",
    "pieces_pooled": "{whole} of its blocks were crushed whole, {halves} by their halves: together here, though a half is squatter "
    "or slimmer than a whole block.",
    "one_batch_only": "All {blocks} blocks are of one batch.",
    "shapes_differ": "The blocks differ in shape (height over thickness {least} to {most}): a squat block reads stronger.",
    "chance_words": "If the mean seen is the true one, a lot passes {chances}.",
    "chance_one": "{chance} of the time if {assumption}",
    "spreads_pooled": "Spread between batches {batches} %, between blocks of one batch {blocks} %, over all mixes together.",
}
