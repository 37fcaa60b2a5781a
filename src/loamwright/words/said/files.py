"""Sentences of spreadsheets, calendars and the local network."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # a file as a whole
    "file_empty": "This file holds no rows. Nothing was kept.",
    "file_too_large": "This file is larger than {mb} MB. Nothing was kept; bring it in smaller parts.",
    "file_old_form": "This is a workbook of the old form (.xls), which is not read here. Save it as .xlsx, .ods or CSV and bring it again.",
    "file_locked": "This workbook is locked with a password. Save a copy without one and bring that.",
    "file_not_a_table": "This is neither a workbook (.xlsx, .ods) nor a text with separators (CSV). Nothing was kept.",
    "file_damaged": "This file cannot be read: {reason}. Nothing was kept; save it again and bring the new one.",
    "file_unpacks_large": "This file unpacks to more than {mb} MB. Nothing was kept; a sheet of readings is far smaller.",
    "file_takes_too_long": "Reading this file took more than {seconds} s and was stopped. Nothing was kept.",
    "no_such_tab": "None of the sheets is named after what you bring. There are: {there}. Name the one to be read as in the template.",
    "too_many_rows": "This file has {rows} rows; at most {most} are taken at once. Bring it in parts. Nothing was kept.",
    "too_many_columns": "This file has {columns} columns; at most {most} are taken. Start from the template. Nothing was kept.",
    "letters_not_read": "The letters of this text cannot be read. Save it as CSV in UTF-8 and bring it again.",
    "decimal_mark_not_said": "Say which mark stands before the decimals in this file, comma or point. It is not guessed: 1,234 is read two ways.",
    "file_brought_before": "This very file was taken in on {on}. Taken in again, all its rows would be there twice.",
    "not_by_file": "Entries of the kind “{kind}” do not come from a file. Those that do: {known}.",
    # heads and cells
    "head_unknown": "“{head}” is the head of no column here. Known are: {known}.",
    "head_twice": "“{head}” is the head of two columns. Leave one.",
    "head_missing": "No column is headed “{label}”, and it is needed.",
    "head_takes_no_unit": "“{head}” takes no unit; it says [{unit}].",
    "unit_not_read": "The unit [{unit}] is not known. Choose one of: {allowed}.",
    "unit_measures_other": "The unit [{unit}] measures something else. Choose one of: {allowed}.",
    "unit_not_ours": "The unit [{unit}] is understood, but readings are not kept in it. Bring the column in one of: {allowed}.",
    "cell_error": "The cell holds the error {typed} of the spreadsheet. Type the reading.",
    "per_cent_cell": "{typed} under % could be {as_pct} % shown by the spreadsheet. Type {as_pct}, or as text with its sign: {typed} %.",
    "other_decimal_mark": "“{typed}” has a {mark} which is not the decimal mark you said. Type the number without marks for thousands.",
    "number_is_text": "“{typed}” is text, not a number of the spreadsheet. Say the decimal mark of this file, or type it as a number.",
    # days for a calendar
    "day_damp": "Keep damp: {name}",
    "day_uncover": "Uncover to dry: {name}",
    "day_soak": "{n} into water for {hours} h: {name}",
    "day_break": "Break {n} {condition} at {age} days: {name}",
    "day_soaked": "{hours} h under water are over, break now: {name}",
    "day_marks": "Blocks {marks}",
    "day_of": "From the notebook of {project}",
    # the local network
    "lan_no_address": "This machine has no address on a local network. Join one, or name an address with --address.",
    "lan_address_not_private": "“{typed}” is no address of a local network, such as 192.168.1.20. For a public name see the guide: phone on the local network.",
    "lan_key_open": "The key {path} can be read by others on this machine, so it is not used. Remove its folder; a new one is made and each phone trusts it once.",
    "lan_folder_unusable": "The folder of certificates {path} cannot be used: {reason}.",
    "lan_pages": "On the local network: {address}",
    "lan_trust": "A phone that comes for the first time starts at {address} (some minutes, once). Point its camera here:",
    "lan_fingerprint": "The phone must show this SHA-256 fingerprint:",
    "lan_open_to_all": "Everybody on this network can read and write here. Paper and the grid work without all this.",
    "lan_fresh": "The certificate was made just now: phones that were here before trust it anew.",
}
