"""Sentences for values that cannot be read or computed with."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what was typed cannot be read
    "no_number": "There is no number here. Type one, such as 1.25 or 1 1/2.",
    "not_a_number": "“{typed}” cannot be read as a number. Type it as 1.25, 1,25 or 1 1/2, without separators for thousands.",
    "divided_by_zero": "“{typed}” divides by zero. Type the fraction again.",
    "not_whole": "{label} is “{typed}”; it must be a whole number, such as 3.",
    "missing_field": "{label} is missing. Fill it in; the rest of what you typed is still here.",
    "unit_missing": "{label} has no unit. Choose one of: {allowed}.",
    "unknown_unit": "The unit “{unit}” is not known. Known are: {known}.",
    "unit_of_other_quantity": "{label} cannot be given in {unit}. Choose one of: {allowed}.",
    "unknown_choice": "{label} cannot be “{typed}”. Choose one of: {allowed}.",
    "not_a_date": "{label} is “{typed}”; that is not a day of the calendar. Type it as 2026-03-04.",
    "not_a_moment": "{label} is “{typed}”; type day and time as 2026-03-04T10:15.",
    # bodies that cannot be computed with
    "field_missing": "{label} is missing, so this entry is kept but not computed with. Correct it to bring it in.",
    "field_not_understood": "{label} holds “{found}”, which this version cannot read. The entry is kept and not computed with.",
    "beyond_sense": "{label} is {typed}. No reading here is above {most}, or below {least} and not zero; so nothing is computed with this entry. Look at the number and its unit, and correct it.",
    "year_beyond_sense": "{label} is {typed}. Years from {least} to {most} are taken; so nothing is computed with this entry. Correct the day.",
    "unknown_kind": "This entry is of a kind “{kind}” that this version does not know. It is kept and shown, not computed with.",
    "newer_schema": "This “{kind}” was written by a newer version (form {schema}, known here up to {known}). It is kept, not computed with.",
    "not_found": "There is no such {kind} in this project (looked for {id}). Go back and choose it from the list.",
    "not_understood": "The {kind} this stands on cannot be read ({reason}). Correct it first.",
    "already_replaced": "Something newer already stands in the place of this entry. Look at its history first.",
    "project_not_undone": "A project is not undone: all that was kept in it would be out of reach. Correct its name instead.",
    "no_such_page": "There is no page at this address. Go back to Today and follow its links.",
    "form_not_read": "What was sent could not be read: a file or a field is missing from it. Nothing was kept; go back and send it again.",
    "needed": "{field} of this {kind} has not been given. Add it to compute this.",
    # numbers no kernel takes
    "not_positive": "{quantity} is {value}; it must be above zero. Look at the reading and correct it.",
    "negative": "{quantity} is {value}; it cannot be below zero. Look at the reading and correct it.",
    "not_a_share": "{quantity} is {value} as a fraction; it must be from 0 up to below 1, which is 0 % to 100 %. If you meant per cent, choose % as the unit.",
    "out_of_range": "{quantity} is {value}; allowed is {least} to {most}. Look at the reading and its unit.",
    "parts_not_positive": "A blend has whole parts from 1 up; {value} is not. Leave out a source that has no part in it.",
    "has_own_page": "“{kind}” is kept on its own page, which shows the figures it stands on. Go there and keep it.",
    "two_buckets": "Name at least two buckets; {n} named so far. A blend needs two soils.",
    # the notebook
    "moment_without_offset": "The moment {moment} has no offset from UTC.",
    "not_json": "This cannot be kept as an entry: {reason}.",
    "envelope_not_understood": "This line is not an entry: {reason}.",
    "notebook_newer": "This notebook was written by a newer version (tables {found}, known here {known}). Install the newer version to open it.",
    "not_a_notebook": "This file is a database, but not a notebook of Loamwright. Nothing was changed in it.",
    "notebook_unreadable": "The notebook {path} cannot be read or written: {reason}. Nothing was kept.",
    "notebook_full": "The disk is full: {path} could not grow ({reason}). Nothing of this was kept; free some space and keep it again.",
    "file_exists": "{path} is there already. Choose another name; nothing was overwritten.",
    "file_missing": "{path} is not there. Check the name.",
    "backup_damaged": "The copy {path} does not pass its check: {reason}. Keep the original and try another disk.",
    "file_not_whole": "This project file was refused whole and nothing was taken in: {reason}. Ask for a fresh copy.",
    "formula_term_missing": "The formula of {formula} lacks {missing}.",
    "formula_not_allowed": "“{part}” is not allowed in a formula.",
}
