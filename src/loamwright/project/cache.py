"""Costly results kept outside the notebook, by a hash of what they stand on: inputs, package version, data files.

Nothing is true because it is kept here: throwing it all away changes no figure, only the time to show it.
"""

import json
import threading
import zipfile
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from loamwright import __version__, tables
from loamwright.engine.soil.belief import Belief, Property
from loamwright.errors import Note
from loamwright.notebook.canonical import canonical, digest

DATA_FILES = ("soil_observations", "soil_guess_classes", "water")
MOST_KEPT = 128  # beliefs in this process, about 250 kB each


def belief_key(source: str, project: str, observations: Mapping[str, Sequence[Any]]) -> str:
    """The hash of everything a belief stands on; `observations` are the frozen records handed to the engine, by kind.

    >>> belief_key("pit", "school", {"jars": []}) == belief_key("pit", "school", {"jars": []})
    True
    """
    said = {name: sorted(map(asdict, records), key=lambda each: str(each["key"])) for name, records in observations.items()}
    stands_on = {"source": source, "project": project, "version": __version__, "data": _data(), "said": said}
    return digest(canonical(_plain(stands_on)))


def _plain(value: Any) -> Any:
    """JSON's own types: tuples become lists, numpy's numbers become Python's."""
    if isinstance(value, Mapping):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    return value.item() if isinstance(value, np.generic) else value


@cache
def _data() -> str:
    return digest("\n".join(digest(tables.text(f"{name}.toml")) for name in DATA_FILES))


class Shelf:
    """Beliefs by key: the newest used in memory, all of them in a folder where one is given; safe from several threads."""

    def __init__(self, folder: Path | None = None, *, most: int = MOST_KEPT) -> None:
        self.folder = folder
        self._most = most
        self._kept: OrderedDict[str, Belief] = OrderedDict()
        self._lock = threading.Lock()

    def belief(self, key: str, compute: Callable[[], Belief]) -> Belief:
        """The belief of this key: from memory, from the folder, else computed now and kept."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        found = self._read(key)
        if found is None:
            found = compute()
            self._write(key, found)
        with self._lock:
            self._kept[key] = found
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return found

    def _path(self, key: str) -> Path | None:
        return None if self.folder is None else self.folder / f"{key}.npz"

    def _read(self, key: str) -> Belief | None:
        path = self._path(key)
        if path is None or not path.exists():
            return None
        try:
            with np.load(path, allow_pickle=False) as arrays:
                return _from_arrays({name: arrays[name] for name in arrays.files})
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
            return None  # a half-written or foreign file is no more than a miss

    def _write(self, key: str, belief: Belief) -> None:
        path = self._path(key)
        if path is None:
            return
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            fresh = path.with_suffix(f".{threading.get_ident()}.tmp")
            with fresh.open("wb") as out:
                np.savez(out, **_as_arrays(belief))
            fresh.replace(path)
        except OSError:
            return  # a full or read-only disk costs time, never a figure


SHELF = Shelf()


def _as_arrays(belief: Belief) -> dict[str, Any]:
    said = {
        "source": belief.source,
        "properties": {
            name: {
                "unit": each.unit,
                "provenance": list(each.provenance),
                "notes": [{"code": note.code, "values": _plain(note.values)} for note in each.notes],
            }
            for name, each in belief.properties.items()
        },
    }
    return {"said": np.array(json.dumps(said)), **{f"draws_{name}": each.values for name, each in belief.properties.items()}}


def _from_arrays(arrays: Mapping[str, Any]) -> Belief:
    said = json.loads(str(arrays["said"]))
    properties: dict[str, Property] = {}
    for name, each in said["properties"].items():
        values = np.asarray(arrays[f"draws_{name}"], dtype=np.float64)
        values.flags.writeable = False
        notes = tuple(map(_as_note, each["notes"]))
        properties[name] = Property(values, each["unit"], tuple(each["provenance"]), notes)
    return Belief(said["source"], MappingProxyType(properties))


def _as_note(said: Mapping[str, Any]) -> Note:
    values = {name: tuple(value) if isinstance(value, list) else value for name, value in said["values"].items()}
    return Note(said["code"], values)
