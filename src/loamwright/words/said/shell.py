"""Sentences of the shell and of published cases."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # naming things
    "no_project_yet": "There is no project in {path} yet. Open one with: loamwright new --bucket NAME --bucket NAME",
    "nothing_fits": "No {what} fits “{typed}”. There is: {there}.",
    "several_fit": "“{typed}” fits more than one {what}: {fitting}. Write more of the name, or the last digits of the id.",
    "no_such_entry": "No entry fits “{typed}”. Give its id, or at least four of its first or last digits.",
    # options
    "option_missing": "{label} is missing: add {option}.",
    "row_not_read": "“{typed}” cannot be read as a row. Write it as {form}.",
    "share_needs_unit": "{label} is “{typed}” without a unit: that could be {pct} % or {as_pct} %. Write it with its %.",
    "corrects_other_kind": "That entry is a {was}, not a {kind}. Correct it with the command of its own kind.",
    "nothing_to_correct": "Nothing to correct was given: name at least one option with its new value.",
    "answers_what": "{n} open questions are called “{typed}”. Name the entries with --about.",
    "file_not_written": "{path} cannot be written: {reason}.",
    "file_not_read": "{path} cannot be read: {reason}.",
    "port_not_free": "Port {port} cannot be used: {reason}. Choose another with --port, or 0 for any free one.",
    # published cases
    "cases_not_read": "The cases in {file} cannot be read: {reason}.",
    "case_without_operation": "No operation is named. Known are: {known}; or fact, for a figure that is only listed.",
    "operation_unknown": "The operation “{operation}” is not known. Known are: {known}.",
    "case_name_unknown": "The operation has no input called “{name}”. `loamwright verify --schema` lists names and units.",
    "case_name_twice": "The input {name} is given twice.",
    "case_input_missing": "Inputs are missing: {missing}.",
    "case_value_not_read": "“{found}” cannot be read as {name}.",
    "case_lengths_differ": "Lists that belong together have {lengths} values.",
    "case_output_unknown": "The output “{name}” is not one of {operation}; it was not compared.",
}
