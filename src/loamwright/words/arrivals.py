"""What became of entries that came from a phone, in words."""

from loamwright.notebook.arriving import Arrival
from loamwright.words.language import tr, trn


def arrival_lines(arrival: Arrival) -> list[str]:
    """One line each for entries taken in, here already, set aside, and lines not taken; what did not happen is left out.

    >>> arrival_lines(Arrival(("a", "b"), (), (), ()))
    ['2 entries taken in']
    """
    counts = (len(arrival.kept), len(arrival.had), len(arrival.aside), len(arrival.refused))
    words = (
        trn("{n} entry taken in", "{n} entries taken in", counts[0]),
        trn("{n} was here already", "{n} were here already", counts[1]),
        trn("{n} set aside: another entry has its id", "{n} set aside: other entries have their ids", counts[2]),
        trn("{n} line not taken", "{n} lines not taken", counts[3]),
    )
    return [line for n, line in zip(counts, words, strict=True) if n] or [tr("There was nothing in this file.")]
