"""The bench sheet: plain data, complete for the bench, and its figures are those the pages show."""

import json
import re
from collections.abc import Iterator
from importlib import resources
from itertools import combinations
from pathlib import Path

import pytest
from tests.trials import quantity

from loamwright.notebook.entry import new_id
from loamwright.notebook.kinds import kinds
from loamwright.project import carried, carried_offers, choosing, cure, making, press, telling, today, weigh
from loamwright.project.demo import load_demo
from loamwright.project.desk import Hand
from loamwright.words.bench_sheet import CODES, NEEDS_SERVER, bench_sheet
from loamwright.words.recipes import lack_words
from loamwright.words.said import said

CODE = re.compile(r'InputError\(\s*"([a-z_]+)"')
# Raised only where the program opens data files or meets text no phone sends.
NOT_ON_A_PHONE = {"moment_without_offset"}


@pytest.fixture
def demo(desk, clock) -> Iterator[str]:
    return load_demo(desk, clock())


def sheet_of(desk, project, clock, device=""):
    made = bench_sheet(desk.state(project), now=clock(), bench=desk.notebook.bench, device=device)
    return json.loads(json.dumps(made, allow_nan=False))  # nothing but plain JSON goes through


def test_an_empty_project_has_a_sheet_with_every_kind_and_nothing_else(desk, project, clock) -> None:
    sheet = sheet_of(desk, project, clock)
    assert sheet["project"] == {"id": project, "name": "Test wall"}
    assert sheet["as_of"]["words"] == f"4 March 2026, {clock():%H:%M}"  # the day of the tests' clock
    assert sheet["kinds"].keys() == kinds().keys()
    assert [sheet[name] for name in ("mixes", "batches", "blocks", "scales", "rigs", "marks")] == [[]] * 6
    assert {name for name, kind in sheet["kinds"].items() if kind["asked"]}.isdisjoint(NEEDS_SERVER)


def test_field_lists_hold_what_reading_a_field_needs(desk, project, clock) -> None:
    for name, kind in sheet_of(desk, project, clock)["kinds"].items():
        for field, own in zip(kind["fields"], kinds()[name].fields, strict=True):
            assert (field["name"], field["kind"], field["required"]) == (own.name, own.kind, own.required)
            assert field["options"] == dict(own.options)
            assert bool(field["quantity"]) == ("units" in field)
            if own.quantity:
                assert field["unit"] in field["units"]


def test_the_codes_a_phone_can_meet_have_their_sentences(desk, project, clock) -> None:
    root = Path(str(resources.files("loamwright")))
    files = [
        *sorted((root / "engine" / "bench").glob("*.py")),
        root / "notebook" / "fields.py",
        root / "units.py",
        root / "errors.py",
    ]
    raised = {code for path in files for code in CODE.findall(path.read_text("utf-8"))}
    assert raised - NOT_ON_A_PHONE <= set(CODES) <= said().keys()
    assert sheet_of(desk, project, clock)["sentences"]["no_number"] == said()["no_number"]


def test_the_mixes_of_the_demo_open_a_batch_with_the_figures_the_page_tells(desk, demo, clock) -> None:
    sheet, state = sheet_of(desk, demo, clock), desk.state(demo)
    assert len(sheet["mixes"]) == len(state.all("mix")) > 0
    for mix in sheet["mixes"]:
        body = {
            "mix": mix["id"],
            "soil_wanted": quantity("12", "kg"),
            "water_wanted": {"typed": mix["target_water_text"], "number": float(mix["target_water_text"]), "unit": "pct"},
        }
        entry_id = new_id()
        told = telling.with_told(state, "batch", body, entry_id=entry_id, at="2026-12-01T00:00:00.000Z")["targets"]
        assert (told["soil_water_content"], told["stabiliser_of_total"]) == pytest.approx(
            (mix["soil_water"], mix["dose"]), rel=1e-12
        )
        assert told["stood_on"] == sorted({*mix["stood_on"], entry_id})
        assert told["scale_step_kg"] == sheet["fixed"]["scale_step"]
        assert sum(pile["of_damp"] for pile in mix["piles"]) == pytest.approx(1.0)  # one kilogram of damp soil


def test_an_open_batch_comes_along_with_its_weighings_marks_and_fill(desk, demo, clock) -> None:
    state = desk.state(demo)
    mix, scale = state.all("mix")[0].id, state.all("scale")[0].id
    hand = Hand(clock(), by="MB")
    batch = desk.entry("batch", {"mix": mix, "scale": scale, "soil_wanted": quantity("12", "kg")}, hand, project=demo)
    mass = {**quantity("12.6", "kg")}
    soil = desk.entry(
        "weighing", {"batch": batch.id, "what": "soil", "mass": mass, "tare": quantity("0.6", "kg")}, hand, project=demo
    )
    desk.keep([batch, soil])
    found = next(each for each in sheet_of(desk, demo, clock)["batches"] if each["id"] == batch.id)
    view = weigh.batch_view(desk.state(demo), batch.id)
    assert [each["net"] for each in found["weighed"]["soil"]] == pytest.approx([12.0])  # 12.6 less the container's 0.6
    assert found["weighed"]["stabiliser"] == [] == found["weighed"]["water"]
    assert (found["dose"], found["target_water"], found["scale_step"]) == (view.dose.value, view.target_water, view.scale_step)
    order = press.fill_order(desk.state(demo), desk.state(demo).fact(batch.id, "batch"), desk.state(demo).all("press")[0])
    assert (order is None) == (not view.water.facts)  # no fill before the water is weighed, although a density is known
    assert found["fills"]


def test_blocks_not_yet_broken_come_along_and_the_broken_do_not(desk, demo, clock) -> None:
    sheet, state = sheet_of(desk, demo, clock), desk.state(demo)
    waiting = {block.id for block in state.all("block")} - cure.broken(state)
    assert {block["id"] for block in sheet["blocks"]} == waiting
    due = {block.id: group for group in cure.to_break(state) for block in group.blocks}
    for block in sheet["blocks"]:
        group = due.get(block["id"])
        assert block["break_on"] == (group.break_on.isoformat() if group else None)
        assert block["condition"] == ({"wet": "soaked", "dry": "dry"}[group.condition] if group else "")


def test_marks_on_the_sheet_are_those_set_aside_for_this_phone(desk, demo, clock) -> None:
    one, other = new_id(), new_id()
    for device in (one, other, one):
        carried.set_marks_aside(desk, demo, Hand(clock(), device=device))
    sheets = [set(sheet_of(desk, demo, clock, device)["marks"]) for device in (one, other)]
    wanted = carried_offers.marks_for_a_plan(desk.state(demo))
    assert [len(marks) for marks in sheets] == [carried.MARKS_SET_ASIDE + wanted] * 2
    assert not sheets[0] & sheets[1]
    assert not (sheets[0] | sheets[1]) & press.ever_marked(desk.state(demo))


def test_plans_of_the_sheet_are_those_the_page_keeps_and_their_marks_are_the_phones(desk, demo, clock) -> None:
    sheet, state = sheet_of(desk, demo, clock), desk.state(demo)
    mixes = [mix.id for mix in state.all("mix")]
    wanted = [mixes[-3:], *([one, other] for one, other in combinations(mixes[-3:], 2)), mixes]
    assert [each["sizes"][0]["body"]["mixes"] for each in sheet["planning"]["sets"]] == wanted
    for each in sheet["planning"]["sets"]:
        assert len(each["columns"]) == 4 == len(each["rows"][0])
        for size in each["sizes"]:
            body = {name: size["body"][name] for name in ("size", "seed", "press", "mixes")}
            told = json.loads(json.dumps(telling.with_told(state, "plan", body, entry_id="", at="")))
            assert size["body"]["needs"] == told["needs"]
            assert [{**row, "marks": 0} for row in size["body"]["rows"]] == [{**row, "marks": 0} for row in told["rows"]]
            assert all("marks" not in row for row in size["body"]["rows"])


def test_an_open_plan_comes_along_with_its_rows_and_a_batch_of_it_leaves_the_row_taken(desk, demo, clock) -> None:
    hand, state = Hand(clock(), by="MB"), desk.state(demo)
    press_id, mixes = state.all("press")[-1].id, [mix.id for mix in state.all("mix")[-2:]]
    asked = {"size": "small", "seed": "s", "press": press_id, "mixes": mixes}
    plan = desk.entry("plan", telling.with_told(state, "plan", asked, entry_id="", at=""), hand, project=demo)
    desk.keep([plan])
    (found,) = sheet_of(desk, demo, clock)["planning"]["open"]
    assert (found["id"], found["press"], found["mixes"]) == (plan.id, press_id, mixes)
    assert [row["opened"] for row in found["rows"]] == ["", ""]
    first = found["rows"][0]
    body = {"mix": first["mix"], "plan": plan.id, "plan_row": first["row"], "soil_wanted": quantity("12", "kg")}
    desk.keep([desk.entry("batch", body, hand, project=demo)])
    sheet = sheet_of(desk, demo, clock)
    assert [row["opened"] for row in sheet["planning"]["open"][0]["rows"]] == [first["mix"], ""]
    taken = {mark for row in found["rows"] for mark in row["marks"]}
    device = new_id()
    carried.set_marks_aside(desk, demo, Hand(clock(), device=device))
    assert taken.isdisjoint(carried.free_marks(desk.state(demo), device))


def test_the_choice_on_the_sheet_is_that_of_the_page(desk, demo, clock) -> None:
    sheet, state = sheet_of(desk, demo, clock)["choosing"], desk.state(demo)
    assert sheet["told"] == json.loads(json.dumps({"stood_on": choosing.stood_on(state)}))
    found = choosing.choosing(state)
    assert {each["id"] for each in sheet["options"]} == {mix for mix in found.gates if found.may_choose(mix)}
    assert sheet["options"][0]["id"] == found.ranking.ranked[0].figures.mix
    assert sheet["chosen"]["mix"] == state.versions.entity(choosing.current_choice(state)["mix"])


def test_recipes_of_the_chosen_mix_are_those_the_page_offers_and_tells(desk, demo, clock) -> None:
    sheet, state = sheet_of(desk, demo, clock), desk.state(demo)
    choice = choosing.current_choice(state)
    day = sheet["recipes"]["mixes"][state.versions.entity(choice["mix"])]["usual"]
    page = making.offers(state)
    assert sorted((each["sets"], each["half_bags"]) for each in day["offers"]) == sorted(
        (each.recipe.sets, round(2 * each.recipe.bags)) for each in (*page.recipes, *([page.to_split] if page.to_split else []))
    )
    for each in day["offers"]:
        body = {"choice": choice.id, **day["named"], "sets": each["sets"], "half_bags": each["half_bags"]}
        told = telling.with_told(state, "recipe", body, entry_id="", at="")["shown"]
        assert {**day["told"], **each["told"]} == json.loads(json.dumps(told))
    assert {option["id"] for option in sheet["choosing"]["options"]} <= sheet["recipes"]["mixes"].keys()


def test_what_a_mix_lacks_for_a_recipe_is_said(desk, demo, clock) -> None:
    hand, state = Hand(clock(), by="MB"), desk.state(demo)
    mould = {"mould_length": quantity("295", "mm"), "mould_width": quantity("140", "mm")}
    body = {"name": "bare press", "how": state.all("press")[0]["how"], **mould}
    desk.keep([desk.entry("press", body, hand, project=demo)])
    mixes = sheet_of(desk, demo, clock)["recipes"]["mixes"].values()
    assert mixes
    assert all(each["lacks"] == [lack_words(desk.state(demo), lack) for lack in lacking(desk.state(demo))] for each in mixes)


def lacking(state):
    found = making.lacks(state)
    assert [each.code for each in found] == ["press_rate", "press_size"]  # the newest press says neither
    return found


def test_questions_come_along_with_what_answers_them(desk, demo, clock) -> None:
    sheet, state = sheet_of(desk, demo, clock)["questions"], desk.state(demo)
    assert [(each["code"], each["about"]) for each in sheet] == [(q.code, list(q.about)) for q in today.questions(state)]
    (contested,) = [each for each in sheet if each["code"] == "contested"]
    heads = [head.id for head in state.versions.heads(contested["about"][0])]
    assert [each["replaces"] for each in contested["versions"]] == [heads, heads]
    settled = [desk.settle(demo, head, Hand(clock())) for head in heads]  # what the page would keep for a tap on either of them
    for each, entry in zip(contested["versions"], settled, strict=True):
        assert (each["kind"], each["schema"], each["project"], each["body"]) == (
            entry.kind,
            entry.schema,
            entry.project,
            entry.body,
        )
        assert sorted(each["replaces"]) == list(entry.replaces)


def test_what_was_corrected_is_not_undone_at_the_bench_and_what_was_not_can_be(desk, demo, clock) -> None:
    hand, state = Hand(clock(), by="MB"), desk.state(demo)
    mix = state.all("mix")[0].id
    batch = desk.entry("batch", {"mix": mix, "soil_wanted": quantity("12", "kg")}, hand, project=demo)
    one, other = (
        desk.entry("weighing", {"batch": batch.id, "what": "soil", "mass": quantity(mass, "kg")}, hand, project=demo)
        for mass in ("5", "7")
    )
    desk.keep([batch, one, other])
    again = {"batch": batch.id, "what": "soil", "mass": quantity("7.1", "kg")}
    desk.keep([desk.entry("weighing", again, hand, project=demo, replaces=(other.id,), reason="read wrong")])
    found = next(each for each in sheet_of(desk, demo, clock)["batches"] if each["id"] == batch.id)["weighed"]["soil"]
    undo = {each["id"]: each["undo"] for each in found}
    assert undo[one.id] == {"kind": "weighing", "schema": one.schema, "project": demo, "replaces": [one.id]}
    assert undo[other.id] is None


def itself(entry_id, **more):
    return {name: entry_id if value == "itself" else value for name, value in more.items()}


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("mix", {"blend": "itself", "dose": quantity("600", "pct"), "basis": "of_total_dry_mix"}),
        ("mix", {"blend": "nothing here", "dose": quantity("6", "pct"), "basis": "of_dry_soil"}),
        ("batch", {"mix": "itself", "soil_wanted": quantity("0", "kg")}),
        ("batch", {"mix": "nothing here", "soil_wanted": quantity("-3", "kg")}),
        ("block", {"batch": "itself", "mark": "x", "green_mass": quantity("0", "kg"), "height": quantity("0", "mm")}),
        ("scale", {"name": "dust balance", "step": quantity("0", "kg")}),
        ("press", {"name": "flat", "how": "gauge", "mould_length": quantity("0", "mm"), "mould_width": quantity("-1", "mm")}),
        ("rig", {"name": "odd", "how": "jack"}),
        ("soak", {"blocks": ["itself"]}),
        ("mark_lease", {"device": "odd", "first": -5, "last": 10**8}),
    ],
)
def test_entries_that_cannot_be_computed_with_leave_the_sheet_whole(desk, demo, clock, kind, body) -> None:
    entry_id = new_id()
    desk.keep([desk.entry(kind, itself(entry_id, **body), Hand(clock(), by="MB"), project=demo, entry_id=entry_id)])
    device = new_id()
    carried.set_marks_aside(desk, demo, Hand(clock(), device=device))
    sheet = sheet_of(desk, demo, clock, device)
    assert sheet["mixes"]
    assert sheet["marks"]


def test_what_cannot_be_opened_says_why(desk, demo, clock) -> None:
    body = {"blend": "nothing here", "dose": quantity("6", "pct"), "basis": "of_dry_soil"}
    mix = desk.entry("mix", body, Hand(clock()), project=demo)
    batch = desk.entry("batch", {"mix": mix.id, "soil_wanted": quantity("12", "kg")}, Hand(clock()), project=demo)
    desk.keep([mix, batch])
    sheet = sheet_of(desk, demo, clock)
    assert "There is no such blend" in next(each for each in sheet["mixes"] if each["id"] == mix.id)["fault"]
    assert "There is no such blend" in next(each for each in sheet["batches"] if each["id"] == batch.id)["fault"]
