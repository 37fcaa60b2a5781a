"""Classes of a soil by three systems, from a laboratory's grading and limits: one result each, or what is missing."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from loamwright.engine.soil import aashto, uscs, usda
from loamwright.errors import InputError, Note
from loamwright.project.finding import Finding, number
from loamwright.project.gradings import Curve, passing_finding, reaches, size_finding, soil_curve
from loamwright.project.limit_findings import index_of, limits_of
from loamwright.project.state import State

SIZES: Mapping[str, float] = {
    "passing_75": 75.0,
    "passing_4_75": 4.75,
    "passing_2": 2.0,
    "passing_0_425": 0.425,
    "passing_0_075": 0.075,
    "passing_0_05": 0.05,
    "passing_0_002": 0.002,
}
"""Sizes whose shares the systems ask for. [mm]"""
ROUNDED = 0.005
"""Half a step of shares reported in whole per cents: how far from a line a class is still said to hang on rounding. [-]"""
SYSTEMS = ("usda", "uscs", "aashto")


@dataclass(frozen=True, slots=True)
class Known:
    """What a laboratory found of a soil; None where it did not look.

    Attributes
    ----------
    passing_75, passing_4_75, passing_2, passing_0_425, passing_0_075, passing_0_05, passing_0_002 : float or None
        Shares of the whole soil finer than so many mm. [-]
    d10, d30, d60 : float or None
        Sizes than which 10, 30 and 60 % of what passes 75 mm are finer. [mm]
    liquid_limit, plasticity_index : float or None
        Of what passes 0.425 mm. [-]
    plastic : bool or None
        False where no thread could be rolled.
    liquid_limit_oven_dried : float or None
        Liquid limit of soil dried in the oven first: it tells organic fines. [-]
    peat : bool
        Whether eye and nose say that it is mostly plant remains.
    """

    passing_75: float | None = None
    passing_4_75: float | None = None
    passing_2: float | None = None
    passing_0_425: float | None = None
    passing_0_075: float | None = None
    passing_0_05: float | None = None
    passing_0_002: float | None = None
    d10: float | None = None
    d30: float | None = None
    d60: float | None = None
    liquid_limit: float | None = None
    plasticity_index: float | None = None
    plastic: bool | None = None
    liquid_limit_oven_dried: float | None = None
    peat: bool = False


@dataclass(frozen=True, slots=True)
class SoilClass:
    """The class of a soil in one system.

    Attributes
    ----------
    system : str
        "usda", "uscs" or "aashto".
    symbol : str
        Group symbol; empty for a texture, which has none.
    name : str
        Texture, group name, or the group with its index, such as "A-7-6 (12)".
    others : tuple of str
        What another convention, or the rounding of the report, would make of it.
    notes : tuple of Note
    """

    system: str
    symbol: str
    name: str
    others: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Classes:
    """Classes of a soil by system, and for each system without one a note that says what it wants."""

    found: tuple[SoilClass, ...]
    missing: tuple[Note, ...]


def classify(known: Known) -> Classes:
    """Classes of a soil from plain shares and limits.

    Examples
    --------
    >>> known = Known(passing_4_75=1.0, passing_2=1.0, passing_0_425=0.9, passing_0_075=0.6, liquid_limit=0.30,
    ...               plasticity_index=0.12)
    >>> [(each.system, each.name) for each in classify(known).found]
    [('uscs', 'Sandy lean clay'), ('aashto', 'A-6 (5)')]
    >>> [note.values["system"] for note in classify(known).missing]
    ['USDA']
    """
    found, missing = [], []
    for system in SYSTEMS:
        wants, classed = _WAYS[system]
        lacking = wants(known)
        if lacking:
            missing.append(Note("class_wants", {"system": system.upper(), "needed": ", ".join(lacking)}))
            continue
        try:
            found.append(classed(known))
        except InputError as fault:
            missing.append(Note(fault.code, dict(fault.values)))
    return Classes(tuple(found), tuple(missing))


def _lacking(known: Known, *wanted: str) -> list[str]:
    """What of the wanted sizes was not measured, as a person would order it from a laboratory."""
    return [f"share finer than {SIZES[name]:g} mm" for name in wanted if getattr(known, name) is None]


def _without_limits(known: Known) -> bool:
    return known.plastic is not False and (known.liquid_limit is None or known.plasticity_index is None)


# --- texture ---


def _usda_wants(known: Known) -> list[str]:
    return _lacking(known, "passing_2", "passing_0_05", "passing_0_002")


def _usda(known: Known) -> SoilClass:
    assert known.passing_2 is not None and known.passing_0_05 is not None and known.passing_0_002 is not None
    fine, dust, clay = known.passing_2, known.passing_0_05, known.passing_0_002
    shares = usda.without_gravel(1.0 - fine, sand=fine - dust, silt=dust - clay, clay=clay)
    near = usda.textures_near(shares[0], silt=shares[1], clay=shares[2], within=ROUNDED)
    gravel = 1.0 - fine
    notes = (Note("gravel_by_mass"),) if gravel > 0 else ()
    name, *others = (usda.name_with_gravel(each, gravel=gravel) for each in near)
    return SoilClass("usda", "", name, tuple(others), notes)


# --- unified ---


def _uscs_wants(known: Known) -> list[str]:
    return [] if known.peat else _lacking(known, "passing_4_75", "passing_0_075")


def _uscs(known: Known) -> SoilClass:
    if known.peat:
        return SoilClass("uscs", uscs.PEAT.symbol, uscs.PEAT.name)
    assert known.passing_4_75 is not None and known.passing_0_075 is not None
    top = 1.0 if known.passing_75 is None else known.passing_75
    grading = uscs.gravel_sand_fines(passing_4_75=known.passing_4_75 / top, passing_0_075=known.passing_0_075 / top)
    group = uscs.uscs_group(grading, fines=_fines(known), shape=_shape(known), d10=known.d10)
    others = tuple(
        f"{other.symbol} ({other.name})"
        for other in (_by_other_limits(known, grading, symbol) for symbol in _near_symbols(known))
        if other.symbol != group.symbol
    )
    stones = (Note("stones_left_out", {"share": 1.0 - top}),) if top < 1.0 else ()
    return SoilClass("uscs", group.symbol, group.name, tuple(dict.fromkeys(others)), (*group.notes, *stones))


def _fines(known: Known) -> uscs.Fines:
    if known.plastic is False:
        return uscs.Fines(known.liquid_limit, kind="silty")
    ratio = None
    if known.liquid_limit_oven_dried is not None and known.liquid_limit:
        ratio = uscs.oven_ratio(known.liquid_limit_oven_dried, liquid_limit=known.liquid_limit)
    return uscs.Fines(known.liquid_limit, known.plasticity_index, organic=ratio is not None and ratio < uscs.ORGANIC_RATIO)


def _shape(known: Known) -> uscs.Shape | None:
    if known.d10 is None or known.d30 is None or known.d60 is None:
        return None
    return uscs.shape_of_sizes(known.d10, d30=known.d30, d60=known.d60)


def _near_symbols(known: Known) -> tuple[str, ...]:
    if known.plastic is False or known.liquid_limit is None or known.plasticity_index is None:
        return ()
    return uscs.symbols_near(known.liquid_limit, plasticity_index=known.plasticity_index, within=uscs.ROUNDED)


def _by_other_limits(known: Known, grading: uscs.GravelSandFines, symbol: str) -> uscs.UscsGroup:
    """The group if the fines had the symbol across a near line."""
    return uscs.uscs_group(grading, fines=replace(_fines(known), across=symbol), shape=_shape(known))


# --- roads ---


def _aashto_wants(known: Known) -> list[str]:
    limits = ["liquid and plastic limit"] if _without_limits(known) else []
    return _lacking(known, "passing_0_075") + limits


def _aashto(known: Known) -> SoilClass:
    assert known.passing_0_075 is not None
    plastic = known.plastic is not False
    group = aashto.aashto_group(
        known.passing_0_075,
        liquid_limit=(known.liquid_limit or 0.0) if not plastic else _said(known.liquid_limit),
        plasticity_index=_said(known.plasticity_index) if plastic else 0.0,
        passing_0_425=known.passing_0_425,
        passing_2=known.passing_2,
    )
    others = []
    if (group.group_of_whole, group.group_index_of_whole) != (group.group, group.group_index):
        others.append(f"{group.group_of_whole} ({group.group_index_of_whole}), every figure rounded to whole per cents first")
    if group.group_index_capped != group.group_index:
        others.append(f"{group.group} ({group.group_index_capped}), older form with capped terms")
    return SoilClass("aashto", group.group, f"{group.group} ({group.group_index})", tuple(others), group.notes)


def _said(value: float | None) -> float:
    assert value is not None
    return value


_WAYS: Mapping[str, tuple[Callable[[Known], list[str]], Callable[[Known], SoilClass]]] = {
    "usda": (_usda_wants, _usda),
    "uscs": (_uscs_wants, _uscs),
    "aashto": (_aashto_wants, _aashto),
}


# --- from what was tested ---


def classes(state: State, source: str) -> Classes | None:
    """Classes of a soil from its newest grading and limits; None where no laboratory looked at its grains."""
    curve = soil_curve(state, source)
    if curve is None:
        return None
    limits = limits_of(state, source)
    index = index_of(limits)
    passing = {name: _passing(curve, size) for name, size in SIZES.items()}
    return classify(
        Known(
            passing_75=passing["passing_75"],
            passing_4_75=passing["passing_4_75"],
            passing_2=passing["passing_2"],
            passing_0_425=passing["passing_0_425"],
            passing_0_075=passing["passing_0_075"],
            passing_0_05=passing["passing_0_05"],
            passing_0_002=passing["passing_0_002"],
            d10=_size(curve, 0.10),
            d30=_size(curve, 0.30),
            d60=_size(curve, 0.60),
            liquid_limit=None if limits.liquid is None else limits.liquid.value,
            plasticity_index=index.value if isinstance(index, Finding) else None,
            plastic=False if _none_rolled(state, source) else None,
        )
    )


def _passing(curve: Curve, size: float) -> float | None:
    if size >= curve.sizes[0] and curve.passing[0] == 1.0:
        return 1.0
    return passing_finding(curve, size).value if reaches(curve, size) else None


def _size(curve: Curve, share: float) -> float | None:
    """A size of the curve below 75 mm, where it reaches that share."""
    top = _passing(curve, SIZES["passing_75"])
    try:
        return number(size_finding(curve, share * (1.0 if top is None else top)))
    except InputError:
        return None


def _none_rolled(state: State, source: str) -> bool:
    """Whether the newest test of the plastic limit says that no thread could be rolled."""
    tests = state.where("plastic_threads", "source", source)
    return bool(tests) and limits_of(state, source).plastic is None and bool(tests[-1].get("none_rolled"))
