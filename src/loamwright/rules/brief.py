"""A person's own brief, as a rule: it can be met, never complied with."""

from loamwright.errors import InputError, check_not_negative, check_positive
from loamwright.rules.clause import Clause, Rule

CONDITIONS = ("wet", "dry")


def own_brief(
    *,
    mean_least: float,
    each_least: float | None = None,
    n: int,
    condition: str = "wet",
    soak_hours: float | None = None,
    age_days: float | None = None,
) -> Rule:
    """What a person asks of their blocks: a mean, and a floor for each, of n blocks tested in a named way.

    No document: the figures are the person's own.

    Parameters
    ----------
    mean_least : float
        What the mean must reach. [MPa]
    each_least : float, optional
        What each block must reach; not above the mean. [MPa]
    n : int
        Blocks tested. [-]
    condition : {"wet", "dry"}
        Soaked before the test, or not.
    soak_hours : float, optional
        Hours under water; must be given for "wet". [h]
    age_days : float, optional
        Age at the test; any where not given. [d]

    Returns
    -------
    Rule
        With `own` set and one clause for each figure.

    Raises
    ------
    InputError
        "not_positive", "unknown_condition", "soak_hours_needed", "soak_of_dry_block", "each_above_mean".

    Examples
    --------
    >>> rule = own_brief(mean_least=2.4, each_least=2.0, n=5, soak_hours=24, age_days=28)
    >>> [(clause.statistic, clause.value) for clause in rule.clauses]
    [('mean', 2.4), ('individual', 2.0)]
    """
    check_positive(mean_least=mean_least, n=n)
    if condition not in CONDITIONS:
        raise InputError("unknown_condition", condition=condition, known=", ".join(CONDITIONS))
    _check_soak(condition, soak_hours)
    if age_days is not None:
        check_positive(age_days=age_days)
    limits = [("own-mean", "mean", mean_least)]
    if each_least is not None:
        check_not_negative(each_least=each_least)
        if each_least > mean_least:
            raise InputError("each_above_mean", each_least=each_least, mean_least=mean_least)
        limits += [("own-each", "individual", each_least)] if each_least else []
    clauses = tuple(
        Clause(
            key=key,
            clause="",
            words="",
            property="compressive_strength",
            statistic=statistic,
            comparator=">=",
            value=value,
            unit="MPa",
            condition=condition,
            n=n,
            soak_hours=soak_hours,
            age_days=age_days,
            standing="own",
        )
        for key, statistic, value in limits
    )
    return Rule("own_brief", "", "", "", clauses, own=True)


def _check_soak(condition: str, soak_hours: float | None) -> None:
    if condition == "wet":
        if soak_hours is None:
            raise InputError("soak_hours_needed", condition=condition)
        check_positive(soak_hours=soak_hours)
    elif soak_hours:
        raise InputError("soak_of_dry_block", soak_hours=soak_hours)
