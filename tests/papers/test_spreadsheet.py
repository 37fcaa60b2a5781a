"""Readings out into a workbook and rows in from one: read back by another library, refused with a sentence, all or nothing."""

import csv
import io
import zipfile
from datetime import date, datetime

import pytest
import python_calamine
import xlsxwriter
from tests.trials import quantity

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.papers import rows_in, spreadsheet
from loamwright.papers.columns import by_file, columns_of, kind_by_file
from loamwright.papers.free_units import read_unit
from loamwright.papers.table_file import MOST_ROWS, read_table
from loamwright.words.numbers import THIN, Shown
from loamwright.words.said import said
from loamwright.words.sentences import of_fault


def tabs_of(data):
    book = python_calamine.load_workbook(io.BytesIO(data))
    return {name: book.get_sheet_by_name(name).to_python() for name in book.sheet_names}


def records(rows):
    return [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]


def made_book(rows, tab="Sheet1"):
    """A workbook somebody else wrote."""
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer, {"in_memory": True}) as book:
        sheet = book.add_worksheet(tab)
        for number, row in enumerate(rows):
            for column, value in enumerate(row):
                if isinstance(value, datetime):
                    sheet.write_datetime(number, column, value, book.add_format({"num_format": "yyyy-mm-dd hh:mm"}))
                elif isinstance(value, date):
                    sheet.write_datetime(number, column, value, book.add_format({"num_format": "yyyy-mm-dd"}))
                elif value is not None:
                    sheet.write(number, column, value)
    return buffer.getvalue()


def made_csv(rows, delimiter=";"):
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue().encode()


def faults_of(bench, kind, data, decimal=""):
    reading = rows_in.read(bench.state(), kind_by_file(kind), data, decimal=decimal)
    assert not (reading.faults and reading.rows)
    return [(each.row, each.head, each.fault.code) for each in reading.faults]


# --- out ---


def test_numbers_and_days_are_typed_and_the_unit_stands_in_the_head(bench, clock):
    tabs = tabs_of(spreadsheet.workbook(bench.state(), Shown(), as_of=clock()))
    rows = records(tabs["Pan test of moisture"])
    # both weighings were typed in grams, so the column is in grams and the number is the one typed
    assert [(row["Pan with damp soil [g]"], row["Pan with damp soil, as typed"]) for row in rows] == [(520.0, f"520{THIN}g")]
    blocks = records(tabs["Blocks"])
    # by hand: 1.3 kg / (0.1 x 0.1 x 0.06 m3) = 2166.67 kg/m3
    assert [row["Density as pressed [kg/m³]"] for row in blocks] == pytest.approx([1.3 / 0.0006] * 2, rel=1e-12)
    assert blocks[0]["Pressed on"] == date(2026, 3, 4)
    assert isinstance(records(tabs["Pressed block"])[0]["Written at"], datetime)


def test_a_column_typed_in_two_units_is_in_the_one_chosen(bench, clock):
    bench.keep("calibration", container=bench.keep("container", name="pail"), tare=quantity("1", "kg"))
    bench.keep("calibration", container=bench.keep("container", name="tub"), tare=quantity("2", "lb"))
    tabs = tabs_of(spreadsheet.workbook(bench.state(), Shown({"mass": "lb"}), as_of=clock()))
    rows = records(tabs["Pail measured again"])
    # NIST Handbook 44: 1 lb = 0.45359237 kg
    assert [row["Empty mass [lb]"] for row in rows] == pytest.approx([1 / 0.45359237, 2.0], rel=1e-11)
    assert [row["Empty mass, as typed"] for row in rows] == [f"1{THIN}kg", f"2{THIN}lb"]


def test_the_same_state_gives_the_same_bytes(bench, clock):
    first, again = (spreadsheet.workbook(bench.state(), Shown(), as_of=clock()) for _ in range(2))
    assert first == again


@pytest.mark.parametrize(
    "name",
    ["=1+1", "+SUM(A1)", "-2", "@cmd", '=HYPERLINK("http://example.invalid")', "http://example.invalid", "‮abc", "🧱", "<b>"],
)
def test_names_stay_text(bench, clock, name):
    bench.keep("source", name=name)
    data = spreadsheet.workbook(bench.state(), Shown(), as_of=clock())
    assert name in [row["What do you call it"] for row in records(tabs_of(data)["Soil, sand or fines"])]
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheets = [archive.read(part).decode() for part in archive.namelist() if part.startswith("xl/worksheets/")]
    assert not any("<f>" in sheet or "<hyperlink" in sheet for sheet in sheets)


def test_a_hundred_thousand_signs_do_not_stop_the_workbook(bench, clock):
    bench.keep("note", text="x" * 100_000)
    row = records(tabs_of(spreadsheet.workbook(bench.state(), Shown(), as_of=clock()))["Note"])[0]
    assert "x" * 32_000 + "…" in row.values()


def test_an_entry_not_understood_is_listed_with_why(bench, clock):
    bench.keep("source", name="Far pit", distance=quantity("1e30", "km"))
    row = records(tabs_of(spreadsheet.workbook(bench.state(), Shown(), as_of=clock()))["Soil, sand or fines"])[-1]
    assert "Look at the number and its unit" in row["Counts"]


# --- out, and in again ---


def test_what_went_out_is_here_already(bench, clock):
    data = spreadsheet.workbook(bench.state(), Shown(), as_of=clock())
    kinds = [kind for kind in by_file() if bench.state().everything(kind.name)]
    assert len(kinds) >= 6
    for kind in kinds:
        reading = rows_in.read(bench.state(), kind, data, decimal="")
        assert (reading.rows, reading.faults, reading.here) == ((), (), len(bench.state().everything(kind.name))), kind.name


def test_rows_of_an_export_filled_into_the_template_make_the_same_readings(bench, clock, hand, desk):
    """Out, copied into the empty table, in again: every value as it was, in the engine's unit."""
    bench.keep(
        "crush",
        block=bench.blocks[0],
        condition="soaked",
        piece="whole",
        load=quantity("20.5", "kN"),
        soaked_for=quantity("24", "h"),
    )
    bench.keep("cure_step", batches=[bench.batch], step="covered", coldest=quantity("41", "degF"), on="2026-03-05")
    pail = bench.keep("container", name="black pail", volume=quantity("20", "l"))
    bench.keep(
        "pail_weighing",
        source=bench.state().all("source")[0].id,
        container=pail,
        gross=[quantity(each, "kg") for each in ("30.1", "30.2", "30.3")],
    )
    tabs = tabs_of(spreadsheet.workbook(bench.state(), Shown(), as_of=clock()))
    found = {}
    for name in ("crush", "cure_step", "pail_weighing", "pan_test", "block", "blend", "source", "stabiliser", "mix", "press"):
        kind = kind_by_file(name)
        heads = tabs_of(spreadsheet.template(kind, Shown()))[kind.label[:31]][0]
        exported = records(tabs[kind.label[:31]])
        # the units of an export are those typed: the head is copied with its column, as a person would
        by_label = {head.split(" [")[0]: head for head in exported[0]}
        own = [by_label[head.split(" [")[0]] for head in heads if head.split(" [")[0] in by_label]
        filled = made_book([own, *([row[head] for head in own] for row in exported)], kind.label[:31])
        reading = rows_in.read(bench.state(), kind, filled, decimal="")
        assert not reading.faults, [(each.head, of_fault(each.fault)) for each in reading.faults]
        found[name] = (bench.state().all(name), reading)
    for name, (before, reading) in found.items():
        new = rows_in.entries(desk, reading, hand(), project=bench.project, form_id=new_id())
        desk.keep(new)
        for old, entry in zip(before, new, strict=True):
            fact = bench.state().find(entry.id)
            assert fact.values.keys() == old.values.keys(), name
            for field, value in old.values.items():
                assert close(engine(fact[field]), engine(value)), (name, field)
            assert (fact.at[:16], fact.by) == (old.at[:16], old.by), "who and when come from the columns By and Written at"


def engine(value):
    """A value of a fact as plain values in the engine's units, lists and rows flattened."""
    if isinstance(value, tuple):
        return [each for one in value for each in engine(one)]
    return engine(tuple(value.values())) if isinstance(value, dict) else [getattr(value, "engine", value)]


def close(found, wanted):
    both = list(zip(found, wanted, strict=True))
    return all(a == pytest.approx(b, rel=1e-11) if isinstance(b, float) else a == b for a, b in both) and bool(both)


@pytest.mark.parametrize("kind", by_file(), ids=lambda kind: kind.name)
def test_every_template_opens_and_is_read_without_a_fault(bench, kind):
    book, text = spreadsheet.template(kind, Shown()), spreadsheet.template_csv(kind, Shown())
    heads = [column.head for column in columns_of(kind, Shown())]
    assert tabs_of(book)[kind.label[:31]][0][: len(heads)] == heads
    assert next(csv.reader(io.StringIO(text.decode("utf-8-sig"))))[: len(heads)] == heads
    for data, decimal in ((book, ""), (text, "point")):
        reading = rows_in.read(bench.state(), kind, data, decimal=decimal)
        assert (reading.rows, reading.faults) == ((), ())


# --- in: units and numbers ---


@pytest.mark.parametrize(
    ("text", "of", "key"),
    [
        ("lb", "mass", "lb"),
        ("lbs", "mass", "lb"),
        ("pounds", "mass", "lb"),
        ("KG", "mass", "kg"),
        ("N/mm²", "pressure", "MPa"),
        ("psi", "pressure", "psi"),
        ("kilopascal", "pressure", "kPa"),
        ("inches", "length", "in"),
        ("litres", "volume", "l"),
        ("percent", "share", "pct"),
        ("degF", "temperature", "degF"),
        ("g/cm^3", "density", "kg_l"),
        ("hours", "duration", "h"),
    ],
)
def test_units_are_read_as_people_write_them(text, of, key):
    assert read_unit(text, of).key == key


@pytest.mark.parametrize(
    ("text", "of", "code"),
    [
        ("stone", "mass", "unit_not_ours"),
        ("mm", "mass", "unit_measures_other"),
        ("wheelbarrows", "volume", "unit_not_read"),
        ("10**10**10", "mass", "unit_not_read"),
        ("__import__('os')", "mass", "unit_not_read"),
        ("x" * 5000, "mass", "unit_not_read"),
        ("(" * 30, "mass", "unit_not_read"),
    ],
)
def test_other_units_are_told(text, of, code):
    with pytest.raises(InputError) as caught:
        read_unit(text, of)
    assert caught.value.code == code
    assert "{" not in of_fault(caught.value)


def weighings(*rows):
    return [["Batch", "Of what", "Mass [lb]"], *rows]


def test_a_file_is_kept_in_order_as_typed(bench, desk, hand):
    data = made_csv(weighings(["Batch 1", "soil", "22,05"], ["batch 1", "water", "1 1/2"], [bench.batch, "Stabiliser", "600 g"]))
    reading = rows_in.read(bench.state(), kind_by_file("weighing"), data, decimal="comma")
    assert not reading.faults
    entries = rows_in.entries(desk, reading, hand(), project=bench.project, form_id=new_id())
    assert [entry.body["mass"] for entry in entries] == [
        {"typed": "22,05", "number": 22.05, "unit": "lb"},
        {"typed": "1 1/2", "number": 1.5, "unit": "lb"},
        {"typed": "600", "number": 600.0, "unit": "g"},
    ]
    assert [entry.id for entry in entries] == sorted(entry.id for entry in entries)


def test_the_decimal_mark_is_never_guessed(bench):
    data = made_csv(weighings(["Batch 1", "soil", "1,234"]))
    with pytest.raises(InputError, match="decimal_mark_not_said"):
        rows_in.read(bench.state(), kind_by_file("weighing"), data, decimal="")
    assert faults_of(bench, "weighing", data, "point") == [(2, "Mass [lb]", "other_decimal_mark")]
    assert faults_of(bench, "weighing", data, "comma") == []
    assert faults_of(bench, "weighing", made_book(weighings(["Batch 1", "soil", "1,234"]))) == [
        (2, "Mass [lb]", "number_is_text")
    ]


def test_a_per_cent_cell_is_asked_about(bench):
    mix = [
        ["Blend", "Stabiliser", "Dose [%]", "The dose is a"],
        [bench.state().all("blend")[0].id, "cement", 0.06, "share of the total dry mix"],
    ]
    assert faults_of(bench, "mix", made_book(mix)) == [(2, "Dose [%]", "per_cent_cell")]
    mix[1][2] = 6
    assert faults_of(bench, "mix", made_book(mix)) == []


def test_every_faulty_row_is_told_together_and_nothing_is_ready(bench):
    data = made_csv(
        weighings(
            ["Batch 1", "soil", "10"],
            ["Batch 7", "sand", "ten"],
            ["", "water", "1"],
            ["Batch 1", "soil", "3 mm"],
            [],
            ["Batch 1", "soil", ""],
        )
    )
    assert faults_of(bench, "weighing", data, "point") == [
        (3, "Batch", "nothing_fits"),
        (3, "Of what", "unknown_choice"),
        (3, "Mass [lb]", "not_a_number"),
        (4, "Batch", "missing_field"),
        (5, "Mass [lb]", "unit_measures_other"),
        (7, "Mass [lb]", "missing_field"),
    ]


def test_heads_that_are_wrong_are_told_before_any_row(bench):
    rows = [["Batch", "Batch", "Weight [kg]", "Of what [kg]", "Mass [metres]"], ["Batch 1", "", "1", "soil", "1"]]
    assert faults_of(bench, "weighing", made_csv(rows), "point") == [
        (1, "Batch", "head_twice"),
        (1, "Weight [kg]", "head_unknown"),
        (1, "Of what [kg]", "head_takes_no_unit"),
        (1, "Mass [metres]", "unit_measures_other"),
        (1, "Of what", "head_missing"),
        (1, "Mass", "head_missing"),
    ]


def test_two_of_one_name_are_told_apart_by_id(bench):
    first, second = bench.keep("source", name="Pit"), bench.keep("source", name="pit")
    rows = [["Source", "Looks like"], ["Pit", "clay loam"]]
    assert faults_of(bench, "guess", made_csv(rows), "point") == [(2, "Source", "several_fit")]
    rows = [["Source", "Source (id)", "Looks like"], ["Pit", second, "clay loam"]]
    reading = rows_in.read(bench.state(), kind_by_file("guess"), made_csv(rows), decimal="point")
    assert [row.body["source"] for row in reading.rows] == [second] != [first]


@pytest.mark.parametrize(
    ("written", "code"),
    [("0001-01-01", "year_beyond_sense"), ("2026-03-04T10:15+02:00", "not_a_moment"), ("yesterday", "not_a_moment")],
)
def test_when_it_was_written_is_a_moment_of_the_local_clock(bench, written, code):
    rows = [["Source", "Looks like", "Written at"], ["River sand", "clay loam", written]]
    assert faults_of(bench, "guess", made_csv(rows), "point") == [(2, "Written at", code)]


def test_an_id_of_another_kind_is_told(bench):
    rows = [["Source", "Source (id)", "Looks like"], ["River sand", bench.batch, "clay loam"]]
    assert faults_of(bench, "guess", made_csv(rows), "point") == [(2, "Source (id)", "not_found")]


# --- in: once ---


def test_a_form_sent_twice_keeps_its_rows_once_and_the_same_file_is_questioned(bench, desk, hand):
    data = made_csv(weighings(["Batch 1", "soil", "10"], ["Batch 1", "water", "1"]))
    form, kind = new_id(), kind_by_file("weighing")
    for _ in range(2):
        reading = rows_in.read(bench.state(), kind, data, decimal="point")
        assert rows_in.brought_before(bench.state(), reading, form) is None
        desk.keep(rows_in.entries(desk, reading, hand(), project=bench.project, form_id=form))
    assert len(bench.state().all("weighing")) == 2
    before = rows_in.brought_before(bench.state(), rows_in.read(bench.state(), kind, data, decimal="point"), new_id())
    assert before is not None
    assert abs(before - datetime.now(before.tzinfo)).total_seconds() < 60


# --- in: files that are not what they say ---


def bomb():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * (200 * 1024**2))
    return buffer.getvalue()


def far_cell():
    """A cell in the last row and column: a dense table of it would have 17 thousand million cells."""
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Weighing")
        sheet.write(0, 0, "Batch")
        sheet.write(1_048_575, 16_383, "far")
    return buffer.getvalue()


def repeated():
    """An open document whose one filled row says that it stands there a million times."""
    names = " ".join(f'xmlns:{key}="urn:oasis:names:tc:opendocument:xmlns:{key}:1.0"' for key in ("office", "table", "text"))
    cell = (
        '<table:table-cell office:value-type="string" table:number-columns-repeated="16384"><text:p>x</text:p></table:table-cell>'
    )
    row = f'<table:table-row table:number-rows-repeated="1048576">{cell}</table:table-row>'
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr(
            "content.xml",
            f'<?xml version="1.0"?><office:document-content {names}><office:body><office:spreadsheet>'
            f'<table:table table:name="One">{row}</table:table></office:spreadsheet></office:body></office:document-content>',
        )
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
    return buffer.getvalue()


def cut():
    return made_book(weighings(["Batch 1", "soil", 1]))[:-200]


HOSTILE = {
    "empty": (b" \n", "file_empty"),
    "picture": (b"\x89PNG\r\n\x1a\n\0\0", "file_not_a_table"),
    "pdf": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "file_not_a_table"),
    "zip of something else": (None, "file_not_a_table"),
    "old workbook": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "file_old_form"),
    "locked": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le"), "file_locked"),
    "letters": ("Größe;1".encode("latin-1"), "letters_not_read"),
    "rows": (b"Batch\n" + b"Batch 1\n" * 1_000_000, "too_many_rows"),
    "columns": (b";".join([b"a"] * 5000), "too_many_columns"),
    "large": (b"x" * (9 * 1024**2), "file_too_large"),
    "quote never closed": (b'a;b\n"1;2\n', "file_damaged"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_a_sentence(name):
    data, code = HOSTILE[name]
    if data is None:
        buffer = io.BytesIO()
        with zipfile.ZipFile(buffer, "w") as archive:
            archive.writestr("evil/../../name.txt", "x")
        data = buffer.getvalue()
    with pytest.raises(InputError) as caught:
        read_table(data)
    assert caught.value.code == code
    assert caught.value.code in said()


@pytest.mark.parametrize(
    ("make", "codes"),
    [
        (bomb, {"file_unpacks_large"}),
        (far_cell, {"too_many_rows", "file_damaged"}),
        (repeated, {"too_many_rows", "file_damaged"}),
        (cut, {"file_damaged"}),
    ],
)
def test_a_hostile_workbook_is_a_sentence(make, codes):
    with pytest.raises(InputError) as caught:
        read_table(make())
    assert caught.value.code in codes


def test_a_workbook_of_too_many_rows_is_a_sentence():
    with pytest.raises(InputError, match="too_many_rows"):
        read_table(made_book([["Batch"], *([f"Batch {n}"] for n in range(MOST_ROWS + 1))]))


def test_an_open_document_sheet_is_read(bench):
    """The smallest .ods by its standard (OASIS OpenDocument 1.2, part 3: a zip with content.xml)."""
    cells = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{each}</text:p></table:table-cell>'
        for each in ("Source", "Looks like")
    )
    row = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{each}</text:p></table:table-cell>'
        for each in ("River sand", "loamy sand")
    )
    names = " ".join(f'xmlns:{key}="urn:oasis:names:tc:opendocument:xmlns:{key}:1.0"' for key in ("office", "table", "text"))
    content = (
        f'<?xml version="1.0"?><office:document-content {names}><office:body><office:spreadsheet><table:table table:name="One">'
        f"<table:table-row>{cells}</table:table-row><table:table-row>{row}</table:table-row>"
        "</table:table></office:spreadsheet></office:body></office:document-content>"
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
    reading = rows_in.read(bench.state(), kind_by_file("guess"), buffer.getvalue(), decimal="")
    assert [row.body["soil_class"] for row in reading.rows] == ["loamy_sand"]
