"""The brief and the choice through their pages, at scenario S1 of the job; wrong things typed on the way."""

import re

import pytest
from tests.trials import quantity, s1


@pytest.fixture
def ids(trial):
    return s1(trial)


def plain(text):
    """A page as it is read: no tags, thin spaces as spaces."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text).replace("\u202f", " "))


def test_before_any_block_is_broken_the_page_says_what_to_do(client, home):
    answer = client.get(f"{home}/choose")
    assert answer.status_code == 200
    assert "Break the blocks first" in answer.text and 'name="mix"' not in answer.text


def test_the_brief_page_before_and_after_a_brief(client, home, trial):
    answer = client.get(f"{home}/today/brief")
    assert answer.status_code == 200 and "Write the brief" in answer.text
    assert "Not decided yet. It can wait until you know your soil" in plain(answer.text)
    trial.brief("2.4", "2.0")
    said = plain(client.get(f"{home}/today/brief").text)
    for cell in ("46 %", "92 %", "over 99 %", "50 %", "82 %", "96 %"):
        # 98.9 % prints as 99 %, never as a promise
        assert (cell in said) == (cell != "over 99 %")
    assert "99 %" in said and "blocks scatter one by one, 10 %" in said and "lots differ by 8 %, blocks of one lot by 6 %" in said
    assert "compl" not in said.replace("nothing here says that they comply with a rule", "")


def test_a_brief_that_contradicts_itself_is_a_question_not_a_failure(client, home, trial):
    trial.brief("2.0", "2.4")
    answer = client.get(f"{home}/today/brief")
    assert answer.status_code == 200 and "Are the two swapped?" in answer.text


def test_rules_are_listed_with_their_standing_and_picked_by_key_and_grade(client, home, trial, desk, project):
    listed = plain(client.get(f"{home}/today/rules").text)
    assert "NBR 8491" in listed and "from memory: read it in the document before you rely on it" in listed
    trial.brief("2.4", "2.0", place="behind the school")
    shown = client.get(f"{home}/today/rule/is_1725_2013?grade=5.0")
    assert "at least 5 MPa" in plain(shown.text)
    answer = client.post(f"{home}/today/rule/is_1725_2013", data={"grade": "5.0"})
    assert answer.status_code == 303 and f"{home}/today/brief" in answer.headers["location"]
    (brief,) = desk.state(project).all("brief")
    assert (brief["by"], brief["rule"], brief["grade"], brief["place"]) == ("rule", "is_1725_2013", "5.0", "behind the school")
    assert brief.versions == 2


@pytest.mark.parametrize("tail", ["nope", "is_1725_2013?grade=zz", "ars_674_1996?grade=1&use=moonlight"])
def test_a_rule_or_grade_that_is_not_there_is_a_sentence(client, home, tail):
    answer = client.get(f"{home}/today/rule/{tail}")
    assert answer.status_code == 422 and ("no rule" in answer.text or "no grade" in answer.text or "no use" in answer.text)


def test_a_rule_says_outcome_and_standing_apart_for_each_mix(client, home, ids):
    said = plain(client.get(f"{home}/today/rule/nbr_8491_1984_2012").text)
    assert "from memory" in said and "Not shown yet: 2 soaked blocks are missing." in said
    assert "complies" not in said


def test_every_rule_of_the_book_has_a_page_for_every_grade(client, home, ids):
    from loamwright.rules.book import rules

    for rule in rules():
        for grade in rule.grades or ("",):
            uses = "".join(f"&use={use}" for use in rule.uses)
            assert client.get(f"{home}/today/rule/{rule.key}?grade={grade}{uses}").status_code == 200


def test_the_comparison_shows_every_block_as_a_dot_with_its_words(client, home, ids, trial):
    trial.brief("2.5", "2.0")
    answer = client.get(f"{home}/choose")
    dots = re.findall(r'<a href="([^"]+)" aria-label="(Block [^"]+)"><title>', answer.text)
    assert len(dots) == 20 and len({href for href, _ in dots}) == 20
    assert client.get(dots[0][0]).status_code == 200
    said = plain(answer.text)
    assert "Mean at least 2.50 MPa, each at least 2.00 MPa, 5 blocks, soaked 24 h, 28 days old" in said
    assert "5 blocks of 1 batch, weakest first: 2.50, 2.70, 2.80, 2.90, 3.10 MPa. Mean 2.80 MPa." in said
    assert "one batch each" in said and "6 pairs are looked at" in said
    assert 'style="' not in answer.text


def test_choosing_keeps_reason_and_what_it_stood_on_once(client, home, ids, trial, desk, project):
    trial.brief("2.5", "2.0", blocks=6200, block_mass=quantity("6.99", "kg"))
    page = client.get(f"{home}/choose").text
    entry_id = re.search(r'name="entry_id" value="([0-9a-f-]{36})"[^>]*>\s*<fieldset', page)[1]
    assert ids["7:2@6"] not in re.findall(r'type="radio" name="mix" value="([^"]+)"', page)
    form = {"entry_id": entry_id, "mix": ids["5:2@6"], "reason": "least cost that passes", "agreed_by": "owner"}
    for _ in range(2):
        assert client.post(f"{home}/choose", data=form).status_code == 303
    (choice,) = desk.state(project).all("choice")
    assert choice["stood_on"]["mixes"][ids["5:2@6"]]["bags"] == 53
    said = plain(client.get(f"{home}/choose").text)
    assert "least cost that passes" in said and "Since then" not in said
    trial.crushed(ids["batch 5:2@6"], (1.6,), "2026-04-02")
    said = plain(client.get(f"{home}/choose").text)
    assert "mean: told 2.80 MPa, would now be 2.60 MPa" in said and "brief: told met, would now be not met" in said


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"reason": ""}, "Why this one is missing"),
        ({"mix": ""}, "Mix is missing"),
        ({"mix": "7:2@6"}, "does not meet the brief"),
        ({"mix": "gone"}, "No broken blocks stand behind this mix"),
    ],
)
def test_what_cannot_be_chosen_comes_back_as_typed(client, home, ids, trial, desk, project, change, sentence):
    trial.brief("2.5", "2.0")
    form = {"mix": ids["5:2@6"], "reason": "because of the bags", **change}
    form["mix"] = ids.get(form["mix"], form["mix"])
    answer = client.post(f"{home}/choose", data=form)
    assert answer.status_code == 422 and sentence in plain(answer.text)
    assert form["reason"] in answer.text
    assert desk.state(project).all("choice") == []


def test_an_open_stop_question_bars_the_choice_on_the_page(client, home, ids, trial):
    trial.brief("2.5", "2.0")
    trial.write("stop_check", {"source": ids["clay"], "question": "crystals", "answer": "yes"})
    said = plain(client.get(f"{home}/choose").text)
    assert "No mix can be chosen yet" in said and "1 stop question open: Red clay" in said
    answer = client.post(f"{home}/choose", data={"mix": ids["5:2@6"], "reason": "strong"})
    assert answer.status_code == 422 and "open stop questions of its soils: 1" in answer.text


def test_where_nothing_passes_the_page_shows_the_ladder(client, home, ids, trial):
    trial.brief("4.0", "3.5")
    said = plain(client.get(f"{home}/choose").text)
    assert "What to change" in said and said.index("1. Cure") < said.index("2. Water") < said.index("8. Another pit")


def test_lime_too_young_names_the_day(client, home, trial):
    source = trial.source("Marl", "21.2")
    lime = trial.write("stabiliser", {"name": "lime", "type": "lime"})
    mix = trial.mix({source: 1}, lime, "8")
    trial.crushed(trial.batch(mix, "8"), (0.7, 0.8), "2026-04-01")
    assert "Too early to judge: lime shows itself from day 56 (29 April)." in plain(client.get(f"{home}/choose").text)
