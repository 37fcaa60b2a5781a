"""Opening a notebook file: which SQLite is linked, how its journal runs, and the migrations it needs."""

import sqlite3
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import sqlalchemy as sa

from loamwright.errors import InputError

NEWEST = "0001"
MIGRATIONS = Path(__file__).parent / "migrations"
PATIENCE = 10  # seconds to wait for another writer
_MIGRATING = threading.Lock()  # the migration library keeps its context in module globals
_FIXED_BRANCHES: dict[tuple[int, ...], int] = {(3, 44): 6, (3, 50): 7}


def sqlite_module() -> ModuleType:
    """The SQLite binding with the newer library: the packaged one where it is installed, else the standard library's."""
    try:
        import pysqlite3.dbapi2 as newer
    except ImportError:
        return sqlite3
    return newer if newer.sqlite_version_info >= sqlite3.sqlite_version_info else sqlite3


def wal_is_safe(version: tuple[int, ...]) -> bool:
    """Whether this SQLite has the fix for lost pages after a WAL reset (3.51.3, and 3.50.7 and 3.44.6 of older lines).

    Source: [sqlite-wal-reset].

    >>> wal_is_safe((3, 40, 1)), wal_is_safe((3, 44, 6)), wal_is_safe((3, 51, 2)), wal_is_safe((3, 53, 4))
    (False, True, False, True)
    """
    if version >= (3, 51, 3):
        return True
    return version[2] >= _FIXED_BRANCHES.get(version[:2], 1_000)


@dataclass(frozen=True, slots=True)
class Journal:
    """How the file is kept safe: the linked SQLite version and the journal mode chosen for it."""

    sqlite_version: str
    mode: str
    synchronous: str = "FULL"


def journal_for(version: tuple[int, ...]) -> Journal:
    """WAL where the linked SQLite is safe with it, else a truncated rollback journal; always FULL."""
    return Journal(".".join(map(str, version)), "WAL" if wal_is_safe(version) else "TRUNCATE")


def connect(target: str | Path) -> tuple[sa.Engine, Journal | None]:
    """A SQLAlchemy engine for a path (SQLite) or a database URL; the journal is None where it is not SQLite."""
    if isinstance(target, str) and "://" in target and not target.startswith("sqlite"):
        return sa.create_engine(target), None
    path = target if isinstance(target, Path) else Path(target.removeprefix("sqlite:///"))
    module = sqlite_module()
    journal = journal_for(module.sqlite_version_info)
    # Built, not joined as text: a path may hold "?" or "%".
    url = sa.URL.create("sqlite", database=str(path))
    engine = sa.create_engine(url, module=module, poolclass=sa.QueuePool, pool_size=4)
    _prepare(engine, journal, module)
    return engine, journal


def _prepare(engine: sa.Engine, journal: Journal, module: ModuleType) -> None:
    @sa.event.listens_for(engine, "connect")
    def on_connect(connection: Any, record: object) -> None:
        connection.isolation_level = None  # the binding must not open transactions of its own
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout = {PATIENCE * 1000}")
        cursor.execute("PRAGMA foreign_keys = ON")
        _set_journal(cursor, journal.mode, module)
        cursor.execute(f"PRAGMA synchronous = {journal.synchronous}")
        cursor.close()

    @sa.event.listens_for(engine, "begin")
    def on_begin(connection: sa.Connection) -> None:
        reading = connection.get_execution_options().get("reading", False)
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


def _set_journal(cursor: Any, mode: str, module: ModuleType) -> None:
    """Set the journal mode; SQLite does not wait by itself where another process has the file open at this moment."""
    if str(cursor.execute("PRAGMA journal_mode").fetchone()[0]).upper() == mode:
        return
    until = time.monotonic() + PATIENCE
    while True:
        try:
            cursor.execute(f"PRAGMA journal_mode = {mode}").fetchone()
            return
        except module.OperationalError as fault:
            if "locked" not in str(fault) or time.monotonic() > until:
                raise
            time.sleep(0.02)


def migrate(engine: sa.Engine, *, before: Callable[[], object] = lambda: None) -> bool:
    """Bring the tables to the newest number; True where something was done.

    `before` is called first where the tables are old (not where there are none yet): the place to take a backup.

    Raises
    ------
    InputError
        "notebook_newer" where the file was written by a later version of the program.
    """
    number = _number(engine)
    if number == NEWEST:
        return False
    if number is not None and number > NEWEST:
        raise InputError("notebook_newer", found=number, known=NEWEST)
    if number is not None:
        before()
    from alembic import command
    from alembic.config import Config

    config = Config()
    # The configuration reader takes "%" for the start of a name.
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with _MIGRATING, engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
    return True


def _number(engine: sa.Engine) -> str | None:
    with engine.connect().execution_options(reading=True) as connection:
        if not sa.inspect(connection).has_table("alembic_version"):
            if sa.inspect(connection).get_table_names():
                raise InputError("not_a_notebook")
            return None
        return connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar_one_or_none()
