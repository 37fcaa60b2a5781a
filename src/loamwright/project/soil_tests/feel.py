"""What hands, eyes and nose can tell of a soil, grade by grade and never as a class; fines by washing."""

from collections.abc import Iterator, Sequence

from loamwright import tables
from loamwright.engine.soil import feel, sieving
from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term
from loamwright.project.finding import Finding, Given, Withheld, attempt, given, several
from loamwright.project.state import Fact, State
from loamwright.project.worked import Column, KindOfTest, Table, Told, Worked, faults_asked

FINES_AS_REPORTED = Formula("fines_fraction", "F", "1", "F_r", {"F_r": Term("fines_fraction", "1")}, "laboratory-report")
CHOICES = {
    "look_and_touch": ("smell", "colour", "rub", "wash", "shine", "stick"),
    "hand_thread": ("toughness",),
    "hand_ball": ("did",),
    "hand_dry_strength": ("broke",),
    "hand_shaking": ("water",),
}
LENGTHS = {"hand_thread": ("thinnest", "thread"), "hand_ribbon": ("lengths", "ribbon"), "hand_cigar": ("lengths", "cigar")}
TESTS_IN_WORDS = {
    "smell": "Smell",
    "colour": "Colour",
    "rub": "Rubbed dry",
    "wash": "Washed off the hands",
    "shine": "Cut face",
    "stick": "Sticks to the knife",
    "dry_strength": "Dried pat",
    "shaking": "Wet pat shaken",
    "toughness": "Toughness of the thread",
    "thread": "Thread",
    "ribbon": "Ribbon",
    "cigar": "Roll over an edge",
    "ball": "Ball dropped",
}


def figure(key: str) -> float:
    """One figure of data/soil_feel.toml, in the unit of its row."""
    return tables.figure("soil_feel", key, required=("unit", "note"))


def grades_of(fact: Fact) -> tuple[tables.Row, ...]:
    """Every grade one test by hand came to, each once; of lengths, the grade of each piece that some hand can make."""
    table = feel.grades()
    found = [table[fact[name]] for name in CHOICES.get(fact.kind, ()) if name in fact.values]
    if fact.kind in LENGTHS:
        field, test = LENGTHS[fact.kind]
        for amount in fact.get(field, ()):
            try:
                found.append(feel.grade_of_length(amount.engine, test=test))
            except InputError:
                continue  # asked about where its mean is worked out
    return tuple({row.key: row for row in found}.values())


def felt(state: State, source: str) -> tuple[tuple[Fact, tables.Row], ...]:
    """Every grade of every test by hand of a soil, in order of time: what each suggests stands beside the others."""
    facts = [fact for kind in (*CHOICES, *LENGTHS) for fact in state.where(kind, "source", source)]
    each_once = {fact.id: fact for fact in facts}.values()
    return tuple((fact, row) for fact in sorted(each_once, key=lambda fact: (fact.at, fact.id)) for row in grades_of(fact))


def _by_hand(state: State, fact: Fact) -> Worked:
    rows = grades_of(fact)
    measured = _measured(fact)
    if not rows and measured is None:
        raise InputError("no_values", quantity=(*CHOICES.get(fact.kind, ()), "lengths")[0])
    told = () if measured is None else (measured,)
    says = tuple(Note("feel_says", {"test": TESTS_IN_WORDS[row["test"]], "says": row["says"]}) for row in rows)
    asked = faults_asked(fact, *(each.result for each in told))
    return Worked(told, _all_so_far(state, fact), tuple(_notes(fact, rows)), says, asked)


def _measured(fact: Fact) -> Told | None:
    """Mean length of the pieces, or the thinnest thread."""
    field = LENGTHS.get(fact.kind, ("",))[0]
    if not fact.get(field):
        return None
    lengths = tuple(amount.engine for amount in fact[field])
    typed = several(fact, fact[field])
    if fact.kind == "hand_thread":
        thin = attempt("thinnest_thread", (fact.id,), lambda: _thinnest(typed, lengths))
        return Told("Thinnest thread", "length", thin)
    mean = attempt("mean_length", (fact.id,), lambda: _mean(fact, typed, lengths))
    return Told("Length of the pieces", "length", mean)


def _thinnest(typed: Given, diameters: Sequence[float]) -> Finding:
    return _graded(Finding(feel.THINNEST, feel.thinnest_thread(diameters), {"d_i": typed}), diameters, "thread")


def _mean(fact: Fact, typed: Given, lengths: Sequence[float]) -> Finding:
    return _graded(Finding(feel.MEAN_LENGTH, feel.mean_length(lengths), {"l_i": typed}), lengths, LENGTHS[fact.kind][1])


def _graded(finding: Finding, lengths: Sequence[float], test: str) -> Finding:
    """The finding, once each of its readings is found to be one that a hand can make."""
    for length in lengths:
        feel.grade_of_length(length, test=test)
    return finding


def _notes(fact: Fact, rows: Sequence[tables.Row]) -> Iterator[Note]:
    if fact.kind in LENGTHS and len({row.key for row in rows if row["test"] == LENGTHS[fact.kind][1]}) > 1:
        yield Note("feel_between")
    thickness, height = fact.number("thickness"), fact.number("height")
    least, most = figure("roll-thickness-least"), figure("roll-thickness-most")
    if fact.kind == "hand_cigar" and thickness is not None and not least <= thickness <= most:
        yield Note("roll_thickness", {"thickness": thickness, "least": least, "most": most})
    low, high = figure("drop-height-least"), figure("drop-height-most")
    if fact.kind == "hand_ball" and height is not None and not low <= height <= high:
        yield Note("drop_height", {"height": height, "least": low, "most": high})


def _all_so_far(state: State, fact: Fact) -> tuple[Table, ...]:
    rows = tuple((TESTS_IN_WORDS[row["test"]], row.get("looks", ""), row["suggests"]) for _, row in felt(state, fact["source"]))
    return (Table("By hand so far", (Column("Test"), Column("Seen"), Column("Suggests")), rows),)


# --- fines by washing ---


def _wash(state: State, fact: Fact) -> Worked:
    weighed = "start" in fact.values or "washed" in fact.values
    found = attempt("fines_fraction", (fact.id,), lambda: _washed(fact) if weighed else _reported(fact))
    told = (Told("Fines", "share", found),)
    if isinstance(found, Withheld):
        return Worked(told, questions=faults_asked(fact, found))
    says = (Note("wash_says", {"fines": found.value}),)
    return Worked(told, notes=tuple(_wash_notes(fact)), says=says)


def _washed(fact: Fact) -> Finding:
    value = sieving.fines_by_washing(fact.needed("start"), washed_mass=fact.needed("washed"))
    return Finding(sieving.FINES_BY_WASHING, value, {"m_start": given(fact, "start"), "m_washed": given(fact, "washed")})


def _reported(fact: Fact) -> Finding:
    value = fact.needed("reported")
    check_between(0.0, 1.0, fines_fraction=value)
    return Finding(FINES_AS_REPORTED, value, {"F_r": given(fact, "reported")})


def _wash_notes(fact: Fact) -> Iterator[Note]:
    size = fact.number("sieve")
    if size is None:
        yield Note("wash_sieve_not_said")
    elif not figure("fine-sieve-least") <= size <= figure("fine-sieve-most"):
        yield Note("wash_sieve_other", {"size": size})
    largest, start = fact.number("largest_size"), fact.number("start")
    if largest is None or start is None:
        return
    row = next(
        (row for row in tables.load("wash_samples", required=("largest_size", "least_mass")) if row["largest_size"] >= largest),
        None,
    )
    if row is not None and start < row["least_mass"]:
        yield Note("wash_sample_small", {"mass": start, "least": row["least_mass"], "largest": row["largest_size"]})


def newest_fines(state: State, source: str) -> Finding | None:
    """Fines of the newest washing of a soil that can be computed with."""
    for fact in reversed(state.where("wash_sieve", "source", source)):
        found = _wash(state, fact).finding("fines_fraction")
        if found is not None:
            return found
    return None


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("look_and_touch", "source", _by_hand),
    KindOfTest("hand_thread", "source", _by_hand),
    KindOfTest("hand_ribbon", "source", _by_hand),
    KindOfTest("hand_cigar", "source", _by_hand),
    KindOfTest("hand_ball", "source", _by_hand),
    KindOfTest("hand_dry_strength", "source", _by_hand),
    KindOfTest("hand_shaking", "source", _by_hand),
    KindOfTest("wash_sieve", "source", _wash),
)
