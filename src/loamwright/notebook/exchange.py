"""One open file that holds a project whole: entries, blobs, and a root hash; taking such a file in is all or nothing."""

import io
import itertools
import json
import lzma
import re
import struct
import zipfile
import zlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from loamwright.errors import InputError
from loamwright.notebook.canonical import canonical, digest
from loamwright.notebook.entry import Entry, read_envelope
from loamwright.notebook.kinds import kinds
from loamwright.notebook.store import Notebook, Receipt, append, read_blob, read_entries
from loamwright.notebook.versions import versions_of

FORMAT = "loamwright project 1"
MOST_BYTES = 512 * 1024 * 1024  # of all of it, unpacked
MOST_LINE = 4 * 1024 * 1024
MOST_ENTRIES = 200_000
MOST_BLOB = 64 * 1024 * 1024
_PARTS = ("manifest.json", "entries.jsonl")
_BLOB_NAME = re.compile(r"blobs/[0-9a-f]{64}")
_STILL = (1980, 1, 1, 0, 0, 0)
_ANY_ID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
# What a damaged or foreign zip makes its readers raise; a lock with a password is a RuntimeError, deep nesting too.
_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    struct.error,
    KeyError,
    ValueError,
    TypeError,
    EOFError,
    OSError,
    RuntimeError,
)


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
    """Entries of a project and, from benches, what they name and what was said of it later, sorted by id.

    A pail that is used brings all its versions, every time it was measured again, and corrections of it that were set aside.
    """
    everything, _ = read_entries(notebook)
    versions = versions_of(everything)
    benches = {notebook.bench} | {entry.project for entry in everything if _on_bench(entry)}
    beyond = [entry for entry in everything if entry.project != project and entry.project in benches]
    names = {entry.id: {versions.entity(each) for each in named(entry)} for entry in everything if entry.project == project}
    names.update({entry.id: {versions.entity(each) for each in named(entry)} for entry in beyond})
    about = defaultdict(set)
    for entry in beyond:
        for entity in {versions.entity(entry.id), *names[entry.id]}:
            about[entity].add(entry.id)
    wanted = {entry.id for entry in everything if entry.project == project}
    queue = list(wanted)
    while queue:
        current = queue.pop()
        related = {each for entity in {versions.entity(current), *names[current]} for each in about[entity]} - wanted
        wanted |= related
        queue.extend(related)
    return [versions.entries[each] for each in sorted(wanted)]


def _on_bench(entry: Entry) -> bool:
    kind = kinds().get(entry.kind)
    return kind is not None and kind.bench


def named(entry: Entry) -> set[str]:
    """Ids an entry names: what it replaces and what its kind declares; any id in the body where the form is not ours."""
    kind = kinds().get(entry.kind)
    if kind is not None and kind.schema == entry.schema:
        return kind.references(entry.body) | set(entry.replaces)
    return set(_ANY_ID.findall(entry.body_text)) | set(entry.replaces)


def _blobs_of(entries: Iterable[Entry]) -> set[str]:
    return {str(entry.body["blob"]) for entry in entries if isinstance(entry.body.get("blob"), str)}


def export(notebook: Notebook, project: str) -> Export:
    """A project and all it stands on as one zip: entries.jsonl, blobs/, manifest.json; the same set gives the same bytes."""
    entries = closure(notebook, project)
    blobs = {mark: data for mark in sorted(_blobs_of(entries)) if (data := read_blob(notebook, mark)) is not None}
    root = root_hash(((entry.id, entry.hash) for entry in entries), blobs)
    manifest = _manifest(project, len(entries), blobs, root)
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        _put(archive, "manifest.json", canonical(manifest).encode())
        _put(archive, "entries.jsonl", "".join(f"{entry.envelope}\n" for entry in entries).encode())
        for mark, data in blobs.items():
            _put(archive, f"blobs/{mark}", data)
    return Export(buffer.getvalue(), root, len(entries))


def _manifest(project: str, entries: int, blobs: Iterable[str], root: str) -> dict[str, Any]:
    return {"format": FORMAT, "project": project, "entries": entries, "blobs": sorted(blobs), "root": root}


def _put(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    info = zipfile.ZipInfo(name, _STILL)
    info.compress_type = zipfile.ZIP_DEFLATED
    info.create_system = 3  # else the same project had other bytes on another system
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
        manifest, entries, blobs = _unpack(data)
    except InputError as fault:
        raise InputError("file_not_whole", reason=str(fault.values.get("reason", fault))) from fault
    except _DAMAGE as fault:
        raise InputError("file_not_whole", reason=str(fault) or type(fault).__name__) from fault
    project = str(manifest["project"])
    marks = {digest(blob) for blob in blobs}
    root = root_hash({(entry.id, entry.hash) for entry in entries}, marks)
    if root != manifest["root"]:
        raise InputError("file_not_whole", reason="its content does not agree with its root hash")
    if manifest != _manifest(project, len(entries), marks, root) or not any(entry.project == project for entry in entries):
        raise InputError("file_not_whole", reason="its content does not agree with its manifest")
    return Contents(project, entries, blobs, root)


def _unpack(data: bytes) -> tuple[dict[str, Any], tuple[Entry, ...], tuple[bytes, ...]]:
    """Manifest, entries and blobs of a zip, read piece by piece so that one made to burst is refused before it does."""
    if len(data) > MOST_BYTES:
        raise _not_ours(f"it is larger than {MOST_BYTES // 1024**2} MB")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        _check_listing(archive.infolist())
        manifest = _manifest_of(_read(archive, "manifest.json", MOST_LINE))
        if manifest["format"] != FORMAT:
            raise _not_ours(f"its format is {str(manifest['format'])[:80]!r}")
        entries = tuple(read_envelope(line) for line in _lines(archive))
        blobs = tuple(_read(archive, f"blobs/{mark}", MOST_BLOB) for mark in manifest["blobs"])
    return manifest, entries, blobs


def _not_ours(reason: str) -> InputError:
    return InputError("file_not_whole", reason=reason)


def _check_listing(members: Sequence[zipfile.ZipInfo]) -> None:
    """Whether a zip holds what a project file holds, each once, and no more than fits."""
    names = [info.filename for info in members]
    strange = next((name for name in names if name not in _PARTS and not _BLOB_NAME.fullmatch(name)), None)
    if strange is not None:
        raise _not_ours(f"it holds a file that is not of a project, {strange[:80]!r}")
    if len(set(names)) < len(names):
        raise _not_ours("it holds a file twice")
    if sum(info.file_size for info in members) > MOST_BYTES:
        raise _not_ours(f"it unpacks to more than {MOST_BYTES // 1024**2} MB")
    if any(info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) for info in members):
        raise _not_ours("it is packed in another way than project files are")  # and may unpack without a bound


def _read(archive: zipfile.ZipFile, name: str, most: int) -> bytes:
    if archive.getinfo(name).file_size > most:
        raise _not_ours(f"{name} is larger than {most // 1024**2} MB")
    return archive.read(name)


def _manifest_of(data: bytes) -> dict[str, Any]:
    manifest = json.loads(data)
    if not isinstance(manifest, dict) or not {"format", "project", "root", "entries", "blobs"} <= manifest.keys():
        raise _not_ours("its manifest lacks something")
    return manifest


def _lines(archive: zipfile.ZipFile) -> Iterator[str]:
    """Lines of the entries, one at a time. Only a line feed ends one: texts may hold other line separators as they are."""
    with archive.open("entries.jsonl") as file:
        for count in itertools.count(1):
            line = file.readline(MOST_LINE + 1)
            if not line:
                return
            if len(line) > MOST_LINE:
                raise _not_ours(f"one of its lines is longer than {MOST_LINE // 1024**2} MB")
            if not line.endswith(b"\n"):
                raise _not_ours("its last line has no end")
            if count > MOST_ENTRIES:
                raise _not_ours(f"it holds more than {MOST_ENTRIES:,} entries")
            yield line[:-1].decode("utf-8")


def take_in(notebook: Notebook, data: bytes) -> tuple[Contents, Receipt]:
    """Add all of a project file to the notebook, or nothing; unknown kinds and newer schemas are kept as they are."""
    contents = read_file(data)
    return contents, append(notebook, contents.entries, blobs=contents.blobs)
