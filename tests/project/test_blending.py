"""Blends of real entries: mass shares by hand, draws by the job's own rule, three offers, a pail corrected."""

import numpy as np
import pytest
from tests.trials import quantity

from loamwright.formula import evaluate
from loamwright.project import blending, shake, today
from loamwright.project.finding import Finding, working
from loamwright.project.state import fold


@pytest.fixture
def two(trial):
    """Scenario S1 of the job: sandy soil 1.42 kg/l and red clay 1.12 kg/l, as 28.4 and 22.4 kg in 20 l."""
    return trial.two_guessed("Sandy soil", "Red clay")


def jar_of(trial, source, heights, added="dispersant"):
    body = {"source": source, "fill": quantity("50", "mm"), "water": quantity("150", "mm"), "added": added}
    jar = trial.write("jar", {**body, "temperature": quantity("20", "degC")})
    for after, height in heights:
        body = {"jar": jar, "after": quantity(after, "min"), "layer": "bed", "height": quantity(height, "mm")}
        trial.write("jar_reading", body)
    return jar


def checked(finding):
    """The finding, after every line of its working was evaluated again; to the four digits that are printed."""
    assert isinstance(finding, Finding)
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-5, abs=1e-9)
    return finding.value


def test_mass_shares_go_by_weighed_pails(trial, two):
    """By hand: 5 · 28.4 / (5 · 28.4 + 2 · 22.4) = 142 / 186.8 = 0.760; each pail is known to 1.5 % at least."""
    sandy, clay = two
    view = blending.blend_view(trial.state, {sandy: 5, clay: 2})
    assert checked(view.shares[sandy]) == pytest.approx(142 / 186.8, abs=1e-3)
    assert checked(view.shares[clay]) == pytest.approx(44.8 / 186.8, abs=1e-3)
    assert view.shares[sandy].band.low < 142 / 186.8 < view.shares[sandy].band.high


def test_clay_of_a_blend_is_the_mass_weighted_clay_of_each_world(trial, two):
    """The rule of the job: draw i of a blend is the sum of v m clay over the sum of v m, all of draw i."""
    sandy, clay = two
    view = blending.blend_view(trial.state, {sandy: 5, clay: 2}, stabiliser="cement")
    sand_held, clay_held = (shake.belief(trial.state, each) for each in two)
    masses = 5 * sand_held["loose_dry_density"].values, 2 * clay_held["loose_dry_density"].values
    draws = (masses[0] * sand_held["clay"].values + masses[1] * clay_held["clay"].values) / (masses[0] + masses[1])
    assert checked(view.held["clay"]) == pytest.approx(float(np.median(draws)), abs=1e-12)
    assert view.held["clay"].band.low == pytest.approx(float(np.quantile(draws, 0.05)), abs=1e-12)
    inside = float(((draws >= 0.10) & (draws <= 0.20)).mean())  # cement: 10 to 20 % by mass
    assert checked(view.window.chance) == pytest.approx(inside, abs=1e-12)
    chances = view.window.chances
    assert chances.below + chances.inside + chances.above == pytest.approx(1.0, abs=1e-12)
    assert chances.answer == max((chances.inside, "usable"), (chances.below, "lean"), (chances.above, "fat"))[1]


def test_every_figure_of_a_blend_can_be_worked_again(trial, two):
    view = blending.blend_view(trial.state, dict(zip(two, (3, 2), strict=True)), scarce=two[1])
    for finding in (*view.held.values(), *view.shares.values(), view.window.chance, *(each.chance for each in view.published)):
        checked(finding)
    assert len(view.published) >= 10
    assert view.scarce == two[1]
    assert view.held["clay"].entries() and view.window.chance.entries() == view.held["clay"].entries()


def test_three_offers_are_different_one_leaner_one_fatter_and_none_beats_the_best(trial, two):
    found = blending.offers(trial.state, two, stabiliser="cement")
    assert found.leaner.held["clay"].value < found.best.held["clay"].value < found.fatter.held["clay"].value
    for view in (found.best, found.leaner, found.fatter):
        assert set(view.parts) == set(two)
        assert sum(view.parts.values()) <= 8
    for sandy in range(1, 8):
        for clay in range(1, 9 - sandy):
            other = blending.blend_view(trial.state, dict(zip(two, (sandy, clay), strict=True)), stabiliser="cement")
            assert other.window.chances.inside <= found.best.window.chances.inside


def test_lime_wants_a_fatter_blend_than_cement(trial, two):
    """Windows of the data file: cement 10 to 20 % clay, lime 15 to 30 %."""
    cement, lime = (blending.offers(trial.state, two, stabiliser=each).best.held["clay"].value for each in ("cement", "lime"))
    assert cement < lime


def test_the_pail_to_change_makes_a_lean_blend_fatter(trial, two):
    sandy, clay = two
    view = blending.blend_view(trial.state, {sandy: 7, clay: 1}, stabiliser="lime")
    assert view.window.chances.answer == "lean"
    assert (view.change.action, view.change.source) in (("add", clay), ("take", sandy))
    assert view.change.chances.inside > view.window.chances.inside


def test_a_jar_read_for_an_hour_already_gives_blends(trial):
    sand, clay = trial.source("Bank sand", "28.4"), trial.source("Red clay", "22.4")
    jar_of(trial, sand, (("1", "38"), ("8", "41"), ("40", "42")))
    jar_of(trial, clay, (("1", "16"), ("8", "27"), ("40", "34")))
    found = blending.offers(trial.state, (sand, clay), stabiliser="cement")
    assert found.best.window.chances.inside > 0
    assert {note.code for note in found.best.notes} >= {"clay_still_floating"}
    assert [each.code for each in blending.due(trial.state, trial.hand().moment.date())] == ["choose_blends"]


def test_a_correction_of_a_pail_corrects_the_blend(trial, two):
    """By hand: with both pails at 28.4 kg a part is the same of each, 5 / 7 = 0.714; before, 142 / 186.8 = 0.760."""
    sandy, clay = two
    blend = trial.write("blend", {"parts": [{"source": sandy, "parts": 5}, {"source": clay, "parts": 2}]})
    fact = trial.state.fact(blend, "blend")
    before = blending.kept_view(trial.state, fact).shares[sandy].value
    weighed = trial.state.where("pail_weighing", "source", clay)[-1]
    body = {"source": clay, "container": weighed["container"], "gross": [quantity("28.4", "kg")] * 3}
    trial.write("pail_weighing", body, replaces=(weighed.head,), reason="read wrong")
    after = blending.kept_view(trial.state, trial.state.fact(blend, "blend")).shares[sandy].value
    assert before == pytest.approx(142 / 186.8, abs=1e-3)
    assert after == pytest.approx(5 / 7, abs=1e-3)


def test_a_pail_of_half_the_size_gives_the_same_shares(trial):
    """11.2 kg in a 10 l pail is as dense as 22.4 kg in 20 l: parts are volumes, not pails of any size."""
    sandy = trial.source("Sandy soil", "28.4")
    clay = trial.write("source", {"name": "Red clay"})
    small = trial.write("container", {"name": "small pail", "volume": quantity("10", "l"), "tare": quantity("0", "kg")})
    dry = quantity("500", "g")
    trial.write("pan_test", {"about": clay, "wet": dry, "dry": dry})
    trial.write("pail_weighing", {"source": clay, "container": small, "gross": [quantity("11.2", "kg")] * 3})
    for source in (sandy, clay):
        trial.write("guess", {"source": source, "soil_class": "loam"})
    view = blending.blend_view(trial.state, {sandy: 5, clay: 2})
    assert view.shares[sandy].value == pytest.approx(142 / 186.8, abs=1e-3)


def test_unweighed_pails_are_said_and_parts_taken_as_equal(trial, two):
    sandy, _ = two
    dust = trial.write("source", {"name": "Quarry fines", "material": "fines"})
    trial.write("guess", {"source": dust, "soil_class": "sand"})
    view = blending.blend_view(trial.state, {sandy: 3, dust: 1})
    assert checked(view.shares[sandy]) == pytest.approx(0.75, abs=1e-12)
    (note,) = [note for note in view.notes if note.code == "densities_unknown"]
    assert note.values["sources"] == ("Quarry fines",)


def test_pails_of_unknown_and_different_size_are_said(trial):
    sources = []
    for name in ("Sand", "Clay"):
        source = trial.write("source", {"name": name})
        pail = trial.write("container", {"name": f"pail of {name}"})
        trial.write("pail_weighing", {"source": source, "container": pail, "gross": [quantity("20", "kg")] * 3})
        trial.write("guess", {"source": source, "soil_class": "loam"})
        sources.append(source)
    view = blending.blend_view(trial.state, dict.fromkeys(sources, 1))
    assert "pails_of_unknown_size" in {note.code for note in view.notes}
    assert [each.value for each in view.shares.values()] == [0.5, 0.5]


def test_three_sources_with_river_sand_and_quarry_fines(trial):
    """Scenario S5 of the job: 1.05, 1.45, 1.60 kg/l at 2:2:1 by volume.

    By hand 2.10 + 2.90 + 1.60 = 6.60, shares 31.8, 43.9, 24.2 %.
    """
    names = (("Red latosol", "21"), ("River sand", "29"), ("Quarry fines", "32"))
    latosol, sand, fines = sources = [trial.source(name, pail) for name, pail in names]
    for source, looks in zip(sources, ("clay", "sand", "loamy_sand"), strict=True):
        trial.write("guess", {"source": source, "soil_class": looks})
    view = blending.blend_view(trial.state, {latosol: 2, sand: 2, fines: 1})
    by_hand = {latosol: 2.10 / 6.60, sand: 2.90 / 6.60, fines: 1.60 / 6.60}
    for source, share in by_hand.items():
        assert checked(view.shares[source]) == pytest.approx(share, abs=1e-3)
    found = blending.offers(trial.state, sources, stabiliser="cement")
    assert set(found.best.parts) == set(sources)
    assert sum(found.best.parts.values()) <= 8


def test_the_order_of_entries_and_of_naming_changes_no_blend(trial, desk, project, two):
    sandy, clay = two
    jar_of(trial, clay, (("1", "16"), ("8", "27"), ("1440", "50")))
    turned = fold(reversed(list(desk.state(project).versions.entries.values())), project)
    first = blending.blend_view(trial.state, {sandy: 5, clay: 2})
    again = blending.blend_view(turned, {clay: 2, sandy: 5})
    assert again.held["clay"].value == first.held["clay"].value
    assert again.held["clay"].band == first.held["clay"].band
    assert again.window.chances == first.window.chances


def test_what_is_missing_is_named(trial, two):
    dust = trial.write("source", {"name": "Quarry fines", "material": "fines"})
    with pytest.raises(ValueError, match="no_belief") as fault:
        blending.offers(trial.state, (*two, dust))
    assert fault.value.values["source"] == "Quarry fines"
    assert blending.unknown(trial.state, (*two, dust)) == (dust,)
    with pytest.raises(ValueError, match="two_buckets"):
        blending.offers(trial.state, two[:1])
    with pytest.raises(ValueError, match="too_many_sources"):
        blending.offers(trial.state, (*two, dust, "x", "y"))
    with pytest.raises(ValueError, match="unknown_stabiliser"):
        blending.offers(trial.state, two, stabiliser="glue")


def test_the_scarce_soil_is_the_hardest_to_get_then_the_farthest_then_the_least(trial, two):
    assert blending.scarce_of(trial.state, two) == two[1]  # 14 km against 2 km
    hard = trial.write("source", {"name": "Hill sand", "ease": "hard", "distance": quantity("1", "km")})
    assert blending.scarce_of(trial.state, (*two, hard)) == hard
    heaps = [trial.write("source", {"name": name, "amount": quantity(much, "m3")}) for name, much in (("A", "40"), ("B", "3"))]
    assert blending.scarce_of(trial.state, heaps) == heaps[1]
    alike = [trial.write("source", {"name": name}) for name in ("C", "D")]
    assert blending.scarce_of(trial.state, alike) is None


def test_a_blend_that_cannot_be_is_kept_and_asked_about(trial, two):
    sandy, _ = two
    wrong = trial.write("blend", {"parts": [{"source": sandy, "parts": -2}]})
    ghost = trial.write("blend", {"parts": [{"source": "nowhere", "parts": 2}]})
    asked = {each.about[0]: each.code for each in today.questions(trial.state) if each.verb == "blend"}
    assert asked == {wrong: "parts_not_positive", ghost: "not_found"}


def test_a_kept_ratio_is_found_again_in_any_multiple(trial, two):
    sandy, clay = two
    kept = trial.write("blend", {"parts": [{"source": sandy, "parts": 10}, {"source": clay, "parts": 4}]})
    assert blending.same_blend(trial.state, {clay: 2, sandy: 5}).id == kept
    assert blending.same_blend(trial.state, {clay: 2, sandy: 3}) is None
    assert not blending.due(trial.state, trial.hand().moment.date())
