"""Sentences of Blend: what cannot be blended, what stands beside a blend, what is due."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what no kernel takes
    "no_parts": "A blend needs at least one source with one part or more.",
    "too_many_sources": "{count} sources are too many to try every ratio of: choose up to {most}.",
    "sources_repeat": "A source is named twice: {sources}.",
    "source_missing": "{quantity} is missing for {missing}.",
    "draws_differ": "The draws of {quantity} are not the same in number.",
    "no_draws": "There is nothing to count.",
    "no_values": "{quantity} has no value.",
    "passing_rises": "{quantity} rises towards the finer sieves: {passing}. Are two sieves swapped?",
    "shares_do_not_sum_to_one": "The shares sum to {total}, not to 1.",
    "sieves_differ": "The materials were not sieved on the same sieves: {lengths}.",
    "unknown_property": "No rule is known for how {property} mixes.",
    "not_linear": "The {property} of a blend is no mean of its sources: test the blend itself.",
    "unknown_stabiliser": "No window is known for {stabiliser}. Known are: {known}.",
    "two_known": "Two sources must be known first, at least by a guess.",
    # notes
    "roughly_linear": "The {property} of a blend is only roughly the mean of its sources.",
    "best_blend_not_usable": "Even the best ratio up to 8 parts is more likely {answer} than usable: another source is needed.",
    "no_leaner_blend": "No ratio up to 8 parts is leaner by a step worth trying.",
    "no_fatter_blend": "No ratio up to 8 parts is fatter by a step worth trying.",
    "densities_unknown": "No struck pail of {sources} was weighed, so a part is taken as the same dry mass of each. "
    "Weigh three pails of each: clay soil is often a fifth lighter than sand.",
    "pails_of_unknown_size": "The pails were weighed in different containers of unknown volume, so a part is taken as "
    "the same dry mass "
    "of each. Measure how much each container holds.",
    # the first answer
    "answer_lean": "lean: too little clay",
    "answer_usable": "usable",
    "answer_fat": "fat: too much clay",
    "change_add": "One pail more of {source} helps most: {ratio}, {chance} usable.",
    "change_take": "One pail less of {source} helps most: {ratio}, {chance} usable.",
    "change_none": "No single pail more or less makes it better.",
    "standing_document": "read in the document",
    "standing_second-hand": "second-hand",
    "standing_memory": "from memory",
    "standing_judgement": "our judgement",
    "standing_derived": "worked out",
    "standing_common practice": "common practice",
    "due_choose_blends": "Choose blends to try",
}
