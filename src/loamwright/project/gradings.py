"""Grading curves of soils: sieves, hydrometer and pipette as points that know where they come from, joined into one curve."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from loamwright import tables
from loamwright.engine.soil import grading_curve, sieving
from loamwright.engine.soil.grading_curve import PASSING_AT_SIZE, SIZE_AT_PASSING
from loamwright.errors import InputError, Note
from loamwright.formula import Formula
from loamwright.project.finding import Finding, Given, as_typed, given, number
from loamwright.project.settlings import Settled, settled
from loamwright.project.state import Fact, State

Input = Given | Finding
SEDIMENTATIONS = ("hydrometer", "pipette")
FIGURES = ("retained", "retained_share", "passing")


def limit(key: str) -> float:
    """One figure of data/grading.toml, in the unit of its row."""
    return tables.figure("grading", key, required=("unit", "note"))


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a grading curve: a size [mm] and the share finer than it, each with where it comes from."""

    size: Input
    passing: Input


@dataclass(frozen=True, slots=True)
class Curve:
    """A grading curve.

    Attributes
    ----------
    points : tuple of Point
        Coarsest first.
    notes : tuple of Note
        What a reader must know of it.
    """

    points: tuple[Point, ...]
    notes: tuple[Note, ...] = ()

    @property
    def sizes(self) -> tuple[float, ...]:
        """Sizes, coarsest first. [mm]"""
        return tuple(number(point.size) for point in self.points)

    @property
    def passing(self) -> tuple[float, ...]:
        """Share finer than each size. [-]"""
        return tuple(number(point.passing) for point in self.points)

    def at(self, size: float) -> Point:
        """The point of exactly this size."""
        return self.points[self.sizes.index(size)]


@dataclass(frozen=True, slots=True)
class Sieved:
    """A sieve analysis worked out.

    Attributes
    ----------
    curve : Curve or None
        Shares of the whole soil, stones that were taken off included; None where `fault` says why not.
    screened : Curve or None
        Shares of what was left when the stones were off; None where none were taken off.
    retained : tuple of (size, mass)
        What lay on each sieve alone, coarsest first; empty for reported shares. [mm, kg]
    total : Given, Finding or None
        Dry mass the shares are of, without the stones. [kg]
    loss, washed_out, stones : Finding or None
        Lost in sieving, gone with the wash water, taken off before; shares.
    notes : tuple of Note
    fault : InputError or None
        What is in the way of a curve.
    """

    curve: Curve | None
    screened: Curve | None = None
    retained: tuple[tuple[float, float], ...] = ()
    total: Input | None = None
    loss: Finding | None = None
    washed_out: Finding | None = None
    stones: Finding | None = None
    notes: tuple[Note, ...] = ()
    fault: InputError | None = None


# --- sieves ---


def sieved(state: State, fact: Fact) -> Sieved:
    """One sieve analysis worked out; `InputError` where its figures cannot be read as one."""
    found: Sieved = state.memo(("sieved", fact.id), lambda: _sieved(fact))
    return found


def _sieved(fact: Fact) -> Sieved:
    rows = sorted(fact["sieves"], key=lambda row: -row["size"].engine)
    figure = _figure_of(rows)
    found = _weighed(fact, rows) if figure == "retained" else _reported(fact, rows, figure)
    if found.curve is None:
        return found
    try:
        grading_curve.checked_curve(found.curve.sizes, found.curve.passing)
        return found if "oversize" not in fact.values else _with_stones(fact, found, figure)
    except InputError as fault:
        return Sieved(None, None, found.retained, found.total, found.loss, found.washed_out, None, found.notes, fault)


def _figure_of(rows: Sequence[Mapping[str, Any]]) -> str:
    """Which of mass, share on the sieve and share passing the table holds; one for all sieves."""
    for row in rows:
        if not any(name in row for name in FIGURES):
            raise InputError("sieve_without_figure", size=row["size"].engine)
    kinds = {name for row in rows for name in FIGURES if name in row}
    if len(kinds) > 1:
        raise InputError("sieves_mixed")
    return kinds.pop()


def _size(fact: Fact, row: Mapping[str, Any]) -> Given:
    return Given(row["size"].engine, (fact.head,), as_typed(row["size"]))


def _alone(fact: Fact, values: Sequence[float]) -> Sequence[float]:
    """What lies on each sieve alone, coarsest first."""
    return tuple(sieving.retained_on_each(values).tolist()) if fact.get("weighed") == "added" else values


def _weighed(fact: Fact, rows: Sequence[Mapping[str, Any]]) -> Sieved:
    masses = _alone(fact, [row["retained"].engine for row in rows])
    start, washed = fact.number("start"), fact.number("washed")
    if washed is not None:
        fact.needed("start")
    found = sieving.sieve_analysis(
        masses,
        sieve_sizes=[row["size"].engine for row in rows],
        pan_mass=fact.number("pan"),
        start_mass=start,
        washed_mass=washed,
    )
    each = tuple(found.retained.tolist())
    total: Input = given(fact, "start") if start is not None else _sum(fact, each)
    points = tuple(
        Point(_size(fact, row), Finding(sieving.PASSING, share, {"m_i": Given(each[: place + 1], (fact.head,)), "m_t": total}))
        for place, (row, share) in enumerate(zip(rows, found.passing.tolist(), strict=True))
    )
    loss = _loss(fact, found.loss, each)
    out = None
    if found.washed_out is not None:
        out = Finding(sieving.WASHED_OUT, found.washed_out, {"m_start": given(fact, "start"), "m_washed": given(fact, "washed")})
    fault = None if loss is None else _too_great(loss)
    retained = tuple(zip(found.sizes.tolist(), each, strict=True))
    curve = None if fault else Curve(points)
    return Sieved(curve, None, retained, total, loss, out, None, found.notes, fault)


def _sum(fact: Fact, each: tuple[float, ...]) -> Finding:
    pan = given(fact, "pan") if "pan" in fact.values else Given(0.0)
    return Finding(sieving.RETAINED_TOTAL, sum(each) + number(pan), {"m_i": Given(each, (fact.head,)), "m_pan": pan})


def _loss(fact: Fact, loss: float | None, each: tuple[float, ...]) -> Finding | None:
    if loss is None:
        return None
    put_on = given(fact, "washed" if "washed" in fact.values else "start")
    return Finding(sieving.SIEVING_LOSS, loss, {"m_on": put_on, "m_found": _sum(fact, each)})


def _too_great(loss: Finding) -> InputError | None:
    most = limit("sieving-loss-most")
    if abs(loss.value) <= most * (1.0 + sieving.SUM_SLACK):
        return None
    values = {"put_on": number(loss.inputs["m_on"]), "found": number(loss.inputs["m_found"]), "most": most}
    if loss.value < 0:
        return InputError("sieving_gain_too_great", gain=-loss.value, **values)
    return InputError("sieving_loss_too_great", loss=loss.value, **values)


def _reported(fact: Fact, rows: Sequence[Mapping[str, Any]], figure: str) -> Sieved:
    if figure == "passing":
        points = tuple(
            Point(_size(fact, row), Given(row["passing"].engine, (fact.head,), as_typed(row["passing"]))) for row in rows
        )
        return Sieved(Curve(points), total=given(fact, "start") if "start" in fact.values else None)
    shares = _alone(fact, [row["retained_share"].engine for row in rows])
    pan = fact.number("pan_share")
    notes = () if pan is not None else (Note("loss_not_known_no_pan"),)
    rest = max(0.0, 1.0 - sum(shares)) if pan is None else pan
    passing = sieving.passing_from_retained_shares(shares, pan_share=rest, tolerance=limit("retained-sum-off")).tolist()
    points = tuple(Point(_size(fact, row), Given(share, (fact.head,))) for row, share in zip(rows, passing, strict=True))
    return Sieved(Curve(points), total=given(fact, "start") if "start" in fact.values else None, notes=notes)


def _with_stones(fact: Fact, found: Sieved, figure: str) -> Sieved:
    """Shares of the whole and of the rest, where stones were taken off before sieving."""
    assert found.curve is not None
    if found.total is None:
        fact.needed("start")
    rest = found.total or given(fact, "start")
    stones_mass = given(fact, "oversize")
    share = float(sieving.coarse_share(number(stones_mass), rest_mass=number(rest)))
    stones = Finding(sieving.COARSE_SHARE, share, {"m_c": stones_mass, "m_r": rest})
    screened, whole = found.curve.points, tuple(_of_whole(point, stones) for point in found.curve.points)
    if figure == "passing" and _is_whole_already(found.curve.passing[0], share):
        whole, screened = screened, tuple(_of_screened(point, stones) for point in screened)
    both = _up_to_screen(fact, whole, screened, stones)
    for curve in both:
        grading_curve.checked_curve(curve.sizes, curve.passing)
    return Sieved(
        both[0], both[1], found.retained, found.total, found.loss, found.washed_out, stones, found.notes + both[0].notes
    )


def _is_whole_already(top: float, stones: float) -> bool:
    """Whether reported shares have the stones in them: then the coarsest passes just what was not taken off."""
    near = limit("retained-sum-off")
    if abs(top - (1.0 - stones)) <= near:
        return stones > near
    if abs(top - 1.0) <= near:
        return False
    raise InputError("stones_and_shares_unlike", passing=top, rest=1.0 - stones)


def _of_whole(point: Point, stones: Finding) -> Point:
    value = float(sieving.passing_of_whole(number(point.passing), coarse_share=stones.value))
    return Point(point.size, Finding(sieving.PASSING_OF_WHOLE, value, {"P": point.passing, "R": stones}))


def _of_screened(point: Point, stones: Finding) -> Point:
    rest = 1.0 - stones.value
    value = min(1.0, float(sieving.passing_of_screened(min(number(point.passing), rest), passing_screen=rest)))
    return Point(point.size, Finding(sieving.PASSING_OF_SCREENED, value, {"P": point.passing, "P_screen": Given(rest)}))


def _up_to_screen(fact: Fact, whole: tuple[Point, ...], screened: tuple[Point, ...], stones: Finding) -> tuple[Curve, Curve]:
    """Both curves up to the screen: what of the stones passes coarser sieves nobody knows."""
    if "oversize_size" not in fact.values:
        return Curve(whole, (Note("stones_without_size"),)), Curve(screened)
    screen = given(fact, "oversize_size")
    size = number(screen)
    whole = tuple(point for point in whole if number(point.size) <= size)
    screened = tuple(point for point in screened if number(point.size) <= size)
    if not whole:
        raise InputError("screen_below_sieves", screen=size)
    if number(whole[0].size) < size:
        rest = 1.0 - stones.value
        one = Finding(sieving.PASSING_OF_WHOLE, rest, {"P": Given(1.0), "R": stones})
        whole, screened = (Point(screen, one), *whole), (Point(screen, Given(1.0)), *screened)
    return Curve(whole), Curve(screened)


# --- sieves and sedimentation together ---


@dataclass(frozen=True, slots=True)
class Joined:
    """A sedimentation joined with the newest sieving of its soil.

    Attributes
    ----------
    curve : Curve or None
        Shares of the whole soil; None where there is no sieving, or `fault` says why the two cannot be joined.
    fault : InputError or None
    step : tuple of float
        Size and share of the first finer point, opening of the finest sieve and its share, where they lie near each other and
        far apart in share; else empty.
    """

    curve: Curve | None
    fault: InputError | None = None
    step: tuple[float, float, float, float] | tuple[()] = ()


def newest_sieving(state: State, source: str) -> Sieved | None:
    """The newest sieving of a soil that gives a curve."""
    for fact in reversed(state.where("sieve", "source", source)):
        try:
            found = sieved(state, fact)
        except InputError:
            continue
        if found.curve is not None:
            return found
    return None


def portion(found: Settled) -> Curve:
    """A sedimentation as a curve of its own, in the shares it was measured in."""
    return Curve(tuple(Point(size, finer) for size, finer in found.points), found.notes)


def joined(state: State, fact: Fact) -> Joined:
    """A sedimentation joined with the newest sieving of its soil."""
    found: Joined = state.memo(("joined", fact.id), lambda: _joined(state, fact))
    return found


def _joined(state: State, fact: Fact) -> Joined:
    sieve = newest_sieving(state, fact["source"])
    found = settled(state, fact)
    if sieve is None or sieve.curve is None or not found.points:
        return Joined(None)
    try:
        fine = _as_points(found, sieve.curve)
        return _one_curve(sieve.curve, fine, found.notes)
    except InputError as fault:
        return Joined(None, fault)


def _as_points(found: Settled, sieve: Curve) -> tuple[Point, ...]:
    """Points of a sedimentation as shares of the whole, coarsest first."""
    points = portion(found).points
    if found.of_whole:
        return points
    if found.cut is None:
        raise InputError("cut_missing")
    passing = _passing_cut(sieve, number(found.cut))
    held = Finding(sieving.RETAINED_AT_CUT, 1.0 - number(passing), {"P_cut": passing})
    return tuple(_of_whole(point, held) for point in points)


def _passing_cut(sieve: Curve, cut: float) -> Input:
    """Share of the whole that passed the sieve the portion was cut at; all of it where even the coarsest sieve held nothing."""
    if cut >= sieve.sizes[0] and sieve.passing[0] == 1.0:
        return sieve.points[0].passing
    return passing_finding(sieve, cut)


def _one_curve(sieve: Curve, fine: tuple[Point, ...], notes: tuple[Note, ...]) -> Joined:
    small = Curve(fine)
    both = grading_curve.joined_curve(sieve.passing, sizes=sieve.sizes, fine_passing=small.passing, fine_sizes=small.sizes)
    finest = sieve.sizes[-1]
    kept = tuple(point for point in fine if number(point.size) < finest)
    size, share = number(kept[0].size), number(kept[0].passing)
    near = finest / size < limit("join-ratio-near") and sieve.passing[-1] - share > limit("join-gap-most")
    step = (size, share, finest, sieve.passing[-1]) if near else ()
    return Joined(Curve((*sieve.points, *kept), (*both.notes, *notes)), None, step)


def soil_curve(state: State, source: str) -> Curve | None:
    """The grading curve of a soil as it stands: newest sieving, with the newest sedimentation that can be joined to it.

    Where there is no sieving, the newest sedimentation alone if it is of the whole soil; None where neither is there.
    """
    root = state.versions.entity(source)
    found: Curve | None = state.memo(("soil_curve", root), lambda: _soil_curve(state, source))
    return found


def _soil_curve(state: State, source: str) -> Curve | None:
    tests = sorted(
        (fact for kind in SEDIMENTATIONS for fact in state.where(kind, "source", source)), key=lambda fact: (fact.at, fact.id)
    )
    for fact in reversed(tests):
        try:
            curve = joined(state, fact).curve
        except InputError:
            continue
        if curve is not None:
            return curve
    sieve = newest_sieving(state, source)
    return sieve.curve if sieve is not None else _alone_of_whole(state, tests)


def _alone_of_whole(state: State, tests: Iterable[Fact]) -> Curve | None:
    for fact in reversed(list(tests)):
        try:
            found = settled(state, fact)
        except InputError:
            continue
        if found.of_whole and found.points:
            return portion(found)
    return None


# --- reading a curve ---


def size_finding(curve: Curve, share: float, formula: Formula = SIZE_AT_PASSING) -> Finding:
    """Size than which a share is finer, such as D10, with its working; `InputError` where the curve does not reach it."""
    between = grading_curve.bracket_of_passing(share, sizes=curve.sizes, passing=curve.passing)
    value = grading_curve.size_at_passing(share, sizes=curve.sizes, passing=curve.passing)
    fine, coarse = curve.at(between.finer_size), curve.at(between.coarser_size)
    inputs = {"d_f": fine.size, "d_c": coarse.size, "P": Given(share), "P_f": fine.passing, "P_c": coarse.passing}
    return Finding(formula, float(value), inputs, curve.notes)


def passing_finding(curve: Curve, size: float, formula: Formula = PASSING_AT_SIZE) -> Finding:
    """Share finer than a size, with its working; `InputError` where the curve does not reach it."""
    between = grading_curve.bracket_of_size(size, sizes=curve.sizes, passing=curve.passing)
    value = grading_curve.passing_at_size(size, sizes=curve.sizes, passing=curve.passing)
    fine, coarse = curve.at(between.finer_size), curve.at(between.coarser_size)
    inputs = {"d": Given(size), "d_f": fine.size, "d_c": coarse.size, "P_f": fine.passing, "P_c": coarse.passing}
    return Finding(formula, float(value), inputs, curve.notes)


def reaches(curve: Curve, size: float) -> bool:
    """Whether a size lies among those that were measured."""
    return len(curve.points) > 1 and curve.sizes[-1] <= size <= curve.sizes[0]


def largest_size(curve: Curve) -> float:
    """Finest of the sieves that all of the soil passes; `InputError` where every sieve held something."""
    all_of_it = [size for size, share in zip(curve.sizes, curve.passing, strict=True) if np.isclose(share, 1.0, atol=1e-9)]
    if not all_of_it:
        raise InputError("largest_size_not_known", size=curve.sizes[0], passing=curve.passing[0])
    return min(all_of_it)
