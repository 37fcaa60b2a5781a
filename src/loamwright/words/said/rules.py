"""What is said of building rules."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # how a figure is taken
    "clause_mean_and_floor": "mean, with a floor for each,",
    "clause_mean_best_4_of_6": "mean of the best four of six",
    "clause_maximum": "worst place",
    "clause_sampling": "each lot",
    "clause_twa_8h": "mean over eight hours",
    # what a rule says as a whole
    "verdict_no_requirement": "asks nothing of it",
    "verdict_as_advised": "as advised",
    "verdict_not_as_advised": "not as advised",
    # why a row of a document asks nothing
    "asks_nothing_information": "a fact about the document",
    "asks_nothing_method": "how a test is made",
    "asks_nothing_design_value": "a value for the design of walls",
    "asks_nothing_asked_elsewhere": "part of another clause",
    "asks_nothing_designer_sets": "the designer sets the value",
    "asks_nothing_failing_class": "the class that fails",
    "asks_nothing_usual_range": "a usual range, no limit",
    "asks_nothing_warning": "a warning, no limit",
    "asks_nothing_constant": "a constant of a formula",
    "asks_nothing_step_of_advice": "a step of a table of advice",
    # how a figure is known, in a word
    "rule_known_read": "read by you",
    "rule_known_second_hand": "second-hand",
    "rule_known_memory": "from memory",
    "rule_known_own": "our own",
    # what is missing, and until when
    "values_missing": "{have} of {need} results on {subject} are there.",
    "too_few_cycles": "{blocks} after too few cycles",
    "more_than_six": "The rule judges six; there are {blocks}, and the six least were taken.",
    "can_be_shown_on": "It can be shown on {day}, by the blocks that wait.",
    "stricter_figure": "The stricter of two figures counts: {counts}, from {source}; the other is {other}.",
    "other_figure": "Another figure stands beside it: {other}, {source}.",
    "read_on_page": "{edition}, page {page}",
    # a clause that cannot be made a limit
    "range_without_end": "The clause {clause} is a range and has no upper end above {limit}. Give the upper end.",
    "floor_and_statistic": "The row {clause}: a floor for each and the statistic “mean and floor” belong together; give both or "
    "neither.",
    "unit_of_other_clause": "The clause {clause} is written in {asked}; “{unit}” does not measure the same. Choose a unit that "
    "does.",
    "nothing_to_read": "The row {clause} asks nothing, so there is no figure of it to read.",
    "rule_subject_missing": "“{property}” is not in the list of properties: say on what it is measured (block, mix, soil, lot, "
    "wall, cement or air).",
    # a rule file
    "rule_file_not_read": "The file cannot be read as TOML: {reason}.",
    "rule_without_rows": "The file holds no row. Each clause is one table headed [[row]].",
    "rule_key_twice": "Row {row}: its key stands twice in the file. Give each row a key of its own.",
    "rule_field_missing": "Row {row}: the field {field} is missing or empty. Fill it in.",
    "rule_field_unknown": "Row {row}: there is no field {field}. The fields are: {known}.",
    "rule_field_kind": "Row {row}, field {field}: “{found}” stands there where {wanted} is needed.",
    "rule_field_choice": "Row {row}, field {field}: “{found}” is none of these: {known}.",
    "rule_range": "Row {row}: a range from {value} needs an upper end above it, and no end below 0.",
    "rule_range_comparator": "Row {row}: an upper end stands there, so the comparator must be “between”.",
    "rule_unit_quantity": "Row {row}: the unit {unit} does not measure {property}, which is a {quantity}.",
    "rule_other_document": "Row {row}: “{document}” is another document than the first row’s. One file is one document.",
    "rule_other_edition": "Row {row}: the edition “{edition}” is of another year than the first row’s. Editions are never mixed.",
    "rule_file_faults": "The rule file has {faults}; nothing of it was taken.",
    "rule_key_taken": "The list of rules has a rule “{rule}” already. Give yours another name.",
    "rule_key_not_a_name": "“{rule}” cannot be the key of a rule: letters, digits and low lines only, beginning with a letter.",
    # figures read in a document, results from elsewhere
    "rule_value_other_edition": "The figure was read in the edition “{typed}”, and the rule here is {rule}, {edition}. Editions are "
    "never mixed: the figure is kept and not used. Is the edition right?",
    "rule_values_differ": "Two readings of the clause {clause} of {rule} differ: {figures}. The stricter one counts. Read it again "
    "in the document and correct the wrong one.",
    "result_unit_quantity": "The unit {unit} does not measure {property}, which is a {quantity}. Correct the unit; the figures are "
    "kept.",
}
