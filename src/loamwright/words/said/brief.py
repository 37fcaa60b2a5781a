"""Sentences of the brief."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "due_pick_brief": "Pick a brief: what must the blocks reach?",
    "brief_undecided": "Not decided yet. It can wait until you know your soil; a choice needs it.",
    "brief_lacks": "Still to be said: {fields}.",
    "brief_own": "Our own figures, so blocks can meet them; nothing here says that they comply with a rule.",
    "brief_rule": "{document}, edition {edition}{grade}. Read it in the document: what stands here may be wrong.",
    "assume_independent_blocks": "blocks scatter one by one, {within} %",
    "assume_lot_to_lot": "lots differ by {between} %, blocks of one lot by {within} %",
    "lots_pass_independent_blocks": "Pass, block by block",
    "lots_pass_lot_to_lot": "Pass, lot by lot",
    "margin_independent_blocks": "Needed, block by block",
    "margin_lot_to_lot": "Needed, lot by lot",
    "pass_needed": "Nine lots of ten pass when the true mean is {mean}: {margin} above the limit, if {assumption}.",
    "read_read": "read in the document by {reader}",
    "read_second_hand": "second-hand: not read in the document by you",
    "read_memory": "from memory: read it in the document before you rely on it",
    "read_own": "our own figure",
}
