"""Properties of a blend: which are means weighted by dry mass, which nearly, and which must be tested on the blend itself."""

from collections.abc import Mapping
from dataclasses import dataclass

from loamwright import tables
from loamwright.engine.blend.parts import Numbers, blend_property, total_of, values_of
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term


@dataclass(frozen=True, slots=True)
class BlendProperties:
    """Properties of one blend.

    Attributes
    ----------
    values : mapping of property to float or (n,) array
        Each property of the blend, in its own unit.
    notes : tuple of Note
        "roughly_linear" for a property whose weighted mean is only near the truth.
    """

    values: Mapping[str, Numbers]
    notes: tuple[Note, ...]


def mixing_rule(name: str) -> str:
    """How a property mixes, by the data file: "linear", "roughly linear" or "not linear"; "unknown_property" is refused.

    >>> mixing_rule("clay"), mixing_rule("strength")
    ('linear', 'not linear')
    """
    try:
        return str(tables.load("mixing_rules", required=("rule",))[name]["rule"])
    except KeyError:
        raise InputError("unknown_property", property=name) from None


def blend_properties(
    parts: Mapping[str, int],
    *,
    pail_dry_mass: Mapping[str, Numbers],
    source_properties: Mapping[str, Mapping[str, Numbers]],
) -> BlendProperties:
    """Several properties of a blend at once, each only if a weighted mean is honest for it.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of each named source. [-]
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one pail of each source. [kg]
    source_properties : mapping of property to mapping of source to float or (n,) array
        For each property its value in each source.

    Returns
    -------
    BlendProperties

    Raises
    ------
    InputError
        As `blend_property`; "unknown_property"; "not_linear" for one that does not mix by mass (strength, plasticity).

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> found = blend_properties({"sandy": 1, "clay": 1}, pail_dry_mass={"sandy": 28.0, "clay": 28.0},
    ...                          source_properties={"linear_shrinkage": {"sandy": 0.01, "clay": 0.11}})
    >>> round(found.values["linear_shrinkage"], 3), found.notes[0].code
    (0.06, 'roughly_linear')
    """
    values: dict[str, Numbers] = {}
    notes: list[Note] = []
    for name, sources in source_properties.items():
        rule = mixing_rule(name)
        if rule == "not linear":
            raise InputError("not_linear", property=name)
        if rule == "roughly linear":
            notes.append(Note("roughly_linear", {"property": name}))
        values[name] = blend_property(parts, pail_dry_mass=pail_dry_mass, source_property=sources)
    return BlendProperties(values, tuple(notes))


PLASTICITY_INDEX_OF_TWO = Formula(
    "blend_plasticity_index",
    "I_p",
    "1",
    "(f_1 * P_1 * I_1 + f_2 * P_2 * I_2) / (f_1 * P_1 + f_2 * P_2)",
    {
        f"{symbol}_{i}": Term(name, "1")
        for i in (1, 2)
        for symbol, name in (("f", "mass_share"), ("P", "passing_no40"), ("I", "plasticity_index"))
    },
    "fm-5-410",
)


def blend_plasticity_index(
    shares: Mapping[str, Numbers], *, passing_no40: Mapping[str, Numbers], plasticity_index: Mapping[str, Numbers]
) -> Numbers:
    """First guess of a blend's plasticity index, each source weighted by what it brings below the No. 40 sieve.

    Rule of US Army road manuals (from memory).

    Parameters
    ----------
    shares : mapping of source to float or (n,) array
        Mass share of each source, as `mass_shares` gives them. [-]
    passing_no40 : mapping of source to float or (n,) array
        Share of each source finer than 0.425 mm. [-]
    plasticity_index : mapping of source to float or (n,) array
        Plasticity index of each source as a fraction of dry mass. [-]

    Returns
    -------
    float or (n,) array
        Estimated plasticity index of the blend; a test of the blend itself overrules it. [-]

    Raises
    ------
    InputError
        "no_parts", "source_missing", "draws_differ", "negative", or "not_positive" if nothing passes the sieve.

    Notes
    -----
    I = Σ f·P·I_i / Σ f·P. A plain mean of the indices is wrong, because only the fines are tested.

    References
    ----------
    [fm-5-410]

    Examples
    --------
    >>> round(blend_plasticity_index({"a": 0.5, "b": 0.5}, passing_no40={"a": 0.8, "b": 0.3},
    ...                              plasticity_index={"a": 0.25, "b": 0.04}), 4)
    0.1927
    """
    if not shares:
        raise InputError("no_parts")
    ones = dict.fromkeys(shares, 1)
    passing = values_of(ones, passing_no40, quantity="passing_no40")
    indices = values_of(ones, plasticity_index, quantity="plasticity_index")
    named = {"shares": list(shares.values()), "passing_no40": passing, "plasticity_index": indices}
    for name, values in named.items():
        for value in values:
            check_not_negative(**{name: value})
    fines = [shares[source] * passed for source, passed in zip(sorted(shares), passing, strict=True)]
    total = total_of(fines)
    check_positive(passing_no40=total)
    return total_of([fine * index for fine, index in zip(fines, indices, strict=True)]) / total
