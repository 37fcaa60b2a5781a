"""A sheet and the grid it is typed in are one model: what is written in a box becomes the entry of that row."""

import pytest
from tests.trials import quantity

from loamwright.engine.bench.marks import make_mark
from loamwright.papers import bench_sheets
from loamwright.papers.sheet import read_grid
from loamwright.words.numbers import Shown


def test_the_weigh_out_sheet_prints_the_three_orders(bench):
    # job.md 2.9 [calc], on a kitchen scale of 5 g steps: 10.000, 0.615, 0.640 kg.
    sheet = bench_sheets.weigh_out(bench.state(), bench.state().fact(bench.batch, "batch"), Shown())
    assert [(row.label, row.printed["wanted"]) for row in sheet.rows] == [
        ("Soil", "10.000"),
        ("Stabiliser", "0.615"),
        ("Water", "0.640"),
    ]
    assert sheet.cautions, "cement is weighed here"


def test_typing_the_weigh_out_sheet_makes_one_weighing_a_box(bench):
    sheet = bench_sheets.weigh_out(bench.state(), bench.state().fact(bench.batch, "batch"), Shown())
    read = read_grid(sheet, {"soil.first": ["9,995"], "stabiliser.first": ["0.615"], "water.more": ["0.05"]})
    assert not read.faults
    assert [(each.row, each.body["what"], each.body["mass"]["number"]) for each in read.entries] == [
        ("soil", "soil", 9.995),
        ("stabiliser", "stabiliser", 0.615),
        ("water", "water", 0.05),
    ]
    assert all(each.body["batch"] == bench.batch for each in read.entries)


def test_the_press_sheet_goes_on_from_the_marks_already_used(bench):
    sheet = bench_sheets.press_sheet(bench.state(), bench.state().fact(bench.batch, "batch"), Shown(), how_many=3)
    assert [row.label for row in sheet.rows] == [make_mark(counter) for counter in (3, 4, 5)]


def test_every_row_that_parses_is_read_and_the_others_are_told(bench):
    sheet = bench_sheets.press_sheet(bench.state(), bench.state().fact(bench.batch, "batch"), Shown(), how_many=3)
    first, second, third = (row.key for row in sheet.rows)
    read = read_grid(
        sheet,
        {
            f"{first}.green_mass": ["1.31"],
            f"{first}.height": ["60"],
            f"{first}.surface": ["even"],
            f"{second}.green_mass": ["one and a bit"],
            f"{second}.height": ["60"],
            f"{third}.height": ["61"],
        },
    )
    assert [each.row for each in read.entries] == [first]
    assert read.entries[0].body["surface"] == "even"
    assert read.faults[second]["green_mass"].code == "not_a_number"
    assert read.faults[third]["green_mass"].code == "missing_field"


def test_the_break_sheet_lists_blocks_not_broken_and_takes_halves_apart(bench):
    sheet = bench_sheets.break_sheet(bench.state(), Shown())
    assert [row.label for row in sheet.rows] == [make_mark(1), make_mark(2)]
    one, two = (row.key for row in sheet.rows)
    typed = {
        "all.span": ["80"],
        f"{one}.bend": ["1.2"],
        f"{one}.half_1": ["20.5"],
        f"{one}.half_2": ["21"],
        f"{one}.soaked_for": ["24"],
        f"{two}.whole": ["25"],
    }
    read = read_grid(sheet, typed)
    assert not read.faults
    assert [(each.row, each.kind, each.body.get("piece")) for each in read.entries] == [
        (one, "bend", None),
        (one, "crush", "half_1"),
        (one, "crush", "half_2"),
        (two, "crush", "whole"),
    ]
    assert read.entries[0].body["span"]["number"] == 80
    assert "soaked_for" not in read.entries[3].body


def test_a_jack_is_read_by_its_gauge(bench):
    rig = bench.keep("rig", name="jack", how="jack", ram_bore={"typed": "50", "number": 50, "unit": "mm"})
    sheet = bench_sheets.break_sheet(bench.state(), Shown({"pressure": "psi"}), bench.state().fact(rig, "rig"))
    whole = next(column for column in sheet.columns if column.key == "whole")
    assert (whole.field, whole.unit) == ("gauge", "psi")


@pytest.fixture
def home(bench):
    return f"/p/{bench.project}"


def test_the_grid_page_keeps_what_it_can_and_gives_the_rest_back(client, home, bench):
    mark = make_mark(3)
    other = make_mark(4)
    form = {f"{mark}.green_mass": "1.32", f"{mark}.height": "60", f"{other}.green_mass": "1,3x", f"{other}.height": "60"}
    answer = client.post(f"{home}/grid/press/{bench.batch}", data=form)
    assert answer.status_code == 422
    assert "1 kept." in answer.text
    assert 'value="1,3x"' in answer.text
    assert 'value="1.32"' not in answer.text
    assert len(bench.state().all("block")) == 3


def test_a_grid_sent_twice_is_kept_once(client, home, bench):
    form = {
        f"{make_mark(3)}.green_mass": "1.32",
        f"{make_mark(3)}.height": "60",
        "entry_id": "01890a5d-ac96-774b-bcce-b302099a8057",
    }
    first = client.post(f"{home}/grid/press/{bench.batch}", data=form)
    again = client.post(f"{home}/grid/press/{bench.batch}", data=form)
    assert (first.status_code, again.status_code) == (303, 303)
    assert len(bench.state().all("block")) == 3


def test_three_pails_and_a_pan_are_typed_in_one_row(bench):
    pail = bench.keep("container", name="tin pail", volume=quantity("12", "l"), tare=quantity("0.5", "kg"))
    sheet = bench_sheets.pails_sheet(bench.state(), Shown())
    first, second = (row.key for row in sheet.rows)
    typed = {f"{first}.gross_1": ["18.1"], f"{first}.gross_2": ["18.3"], f"{first}.gross_3": ["18.2"]}
    typed |= {f"{second}.wet": ["520"], f"{second}.dry": ["505"]}
    read = read_grid(sheet, typed)
    assert not read.faults
    pails, pan = read.entries
    assert (pails.kind, pails.body["container"]) == ("pail_weighing", pail)
    assert [each["number"] for each in pails.body["gross"]] == [18.1, 18.3, 18.2]
    assert (pan.kind, pan.body["about"], pan.body["wet"]["unit"]) == ("pan_test", second, "g")


def test_a_jar_sheet_and_a_ladder_sheet_become_entries(bench):
    state = bench.state()
    blend = state.all("blend")[0]
    jar = bench.keep(
        "jar", source=state.all("source")[0].id, fill=quantity("80", "mm"), water=quantity("240", "mm"), added="nothing"
    )
    sheet = bench_sheets.jar_sheet(bench.state(), bench.state().fact(jar, "jar"), Shown())
    read = read_grid(
        sheet, {"1.after": ["1"], "1.layer": ["top of all"], "1.height": ["30"], "2.after": ["30"], "2.layer": ["bed"]}
    )
    assert [(each.body["jar"], each.body["layer"], each.body["after"]["unit"]) for each in read.entries] == [(jar, "bed", "min")]
    assert read.faults["2"]["height"].code == "missing_field"
    ladder = bench_sheets.ladder_sheet(state, blend, Shown())
    typed = {"1.soil": ["2.5"], "1.water": ["0.1"], "1.green_mass": ["1.25"], "1.height": ["60"], "1.ejects": ["clean"]}
    entry = read_grid(ladder, typed).entries[0]
    assert (entry.kind, entry.body["blend"], entry.body["ejects"]) == ("ladder_block", blend.id, "clean")


def about_of(bench, name):
    state = bench.state()
    if name == "ladder":
        return f"/{state.all('blend')[0].id}"
    if name == "jar":
        source = state.all("source")[0].id
        return "/" + bench.keep("jar", source=source, fill=quantity("80", "mm"), water=quantity("240", "mm"), added="nothing")
    return "" if name in ("break", "pails") else f"/{bench.batch}"


@pytest.mark.parametrize("name", ["pails", "jar", "ladder", "weigh-out", "press", "break"])
def test_sheets_have_a_page_to_print(client, home, bench, name):
    about = about_of(bench, name)
    page = client.get(f"{home}/sheet/{name}{about}")
    assert page.status_code == 200
    assert "Date" in page.text
    assert client.get(f"{home}/grid/{name}{about}").status_code == 200
