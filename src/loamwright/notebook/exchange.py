"""One open file that holds a project whole: entries, blobs, and a root hash; taking such a file in is all or nothing."""

import io
import json
import zipfile
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from loamwright.errors import InputError
from loamwright.notebook.canonical import canonical, digest
from loamwright.notebook.entry import Entry, read_envelope
from loamwright.notebook.kinds import kinds
from loamwright.notebook.store import Notebook, Receipt, append, keep_blob, read_blob, read_entries

FORMAT = "loamwright project 1"
MOST_BYTES = 512 * 1024 * 1024
_STILL = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Export:
    """The bytes of a project file, its root hash, and how many entries it holds."""

    data: bytes
    root: str
    entries: int


def root_hash(hashes: Iterable[tuple[str, str]], blobs: Iterable[str]) -> str:
    """SHA-256 over the sorted "id hash" and blob lines: the same set gives the same root, in any order."""
    lines = sorted(f"{entry_id} {mark}" for entry_id, mark in hashes) + sorted(f"blob {mark}" for mark in blobs)
    return digest("\n".join(lines))


def closure(notebook: Notebook, project: str) -> list[Entry]:
    """Entries of a project and, from benches, all versions of what they name, sorted by id."""
    everything, _ = read_entries(notebook)
    by_id = {entry.id: entry for entry in everything}
    root_of: dict[str, str] = {}
    for entry in sorted(everything, key=lambda each: each.id):
        root_of[entry.id] = root_of.get(entry.replaces[0], entry.replaces[0]) if entry.replaces else entry.id
    members = defaultdict(set)
    for entry_id, root in root_of.items():
        members[root].add(entry_id)
    wanted = {entry.id for entry in everything if entry.project == project}
    queue = list(wanted)
    while queue:
        entry = by_id[queue.pop()]
        named = _named(entry) | set(entry.replaces)
        related = {each for name in named if name in root_of for each in members[root_of[name]]} - wanted
        wanted |= related
        queue.extend(related)
    return [by_id[each] for each in sorted(wanted)]


def _named(entry: Entry) -> set[str]:
    kind = kinds().get(entry.kind)
    return set() if kind is None else kind.references(entry.body)


def _blobs_of(entries: Iterable[Entry]) -> set[str]:
    return {str(entry.body["blob"]) for entry in entries if isinstance(entry.body.get("blob"), str)}


def export(notebook: Notebook, project: str) -> Export:
    """A project and all it stands on as one zip: entries.jsonl, blobs/, manifest.json; the same set gives the same bytes."""
    entries = closure(notebook, project)
    blobs = {mark: data for mark in sorted(_blobs_of(entries)) if (data := read_blob(notebook, mark)) is not None}
    root = root_hash(((entry.id, entry.hash) for entry in entries), blobs)
    manifest = {"format": FORMAT, "project": project, "entries": len(entries), "blobs": sorted(blobs), "root": root}
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        _put(archive, "manifest.json", canonical(manifest).encode())
        _put(archive, "entries.jsonl", "".join(f"{entry.envelope}\n" for entry in entries).encode())
        for mark, data in blobs.items():
            _put(archive, f"blobs/{mark}", data)
    return Export(buffer.getvalue(), root, len(entries))


def _put(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    info = zipfile.ZipInfo(name, _STILL)
    info.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(info, data)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a whole and undamaged project file holds."""

    project: str
    entries: tuple[Entry, ...]
    blobs: tuple[bytes, ...]
    root: str


def read_file(data: bytes) -> Contents:
    """Check a project file completely, before anything is kept.

    Raises
    ------
    InputError
        "file_not_whole" with the reason: cut short, changed, or not a project file.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(info.file_size for info in archive.infolist()) > MOST_BYTES:
                raise InputError("file_not_whole", reason="it unpacks to more than 512 MB")
            manifest = json.loads(archive.read("manifest.json"))
            lines = archive.read("entries.jsonl").decode("utf-8").splitlines()
            blobs = tuple(archive.read(f"blobs/{mark}") for mark in manifest["blobs"])
            project, root, form = str(manifest["project"]), manifest["root"], manifest["format"]
    except (zipfile.BadZipFile, KeyError, ValueError, EOFError, OSError, TypeError, NotImplementedError) as fault:
        if isinstance(fault, InputError):
            raise
        raise InputError("file_not_whole", reason=str(fault) or type(fault).__name__) from fault
    if form != FORMAT:
        raise InputError("file_not_whole", reason=f"its format is {form!r}")
    try:
        entries = tuple(read_envelope(line) for line in lines)
    except InputError as fault:
        raise InputError("file_not_whole", reason=str(fault.values.get("reason", fault))) from fault
    if root_hash(((entry.id, entry.hash) for entry in entries), map(digest, blobs)) != root:
        raise InputError("file_not_whole", reason="its content does not agree with its root hash")
    return Contents(project, entries, blobs, root)


def take_in(notebook: Notebook, data: bytes) -> tuple[Contents, Receipt]:
    """Add all of a project file to the notebook, or nothing; unknown kinds and newer schemas are kept as they are."""
    contents = read_file(data)
    for blob in contents.blobs:
        keep_blob(notebook, blob)
    return contents, append(notebook, contents.entries)
