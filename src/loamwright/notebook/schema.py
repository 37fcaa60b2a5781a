"""Tables of the notebook file. Bodies are text; only these envelope tables are ever migrated."""

import sqlalchemy as sa

METADATA = sa.MetaData()

ENTRY = sa.Table(
    "entry",
    METADATA,
    sa.Column("id", sa.Text, primary_key=True),
    sa.Column("project", sa.Text, nullable=False),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("schema", sa.Integer, nullable=False),
    sa.Column("at", sa.Text, nullable=False),
    sa.Column("offset", sa.Integer, nullable=False),
    sa.Column("by", sa.Text, nullable=False),
    sa.Column("device", sa.Text, nullable=False),
    sa.Column("body", sa.Text, nullable=False),
    sa.Column("replaces", sa.Text, nullable=False),
    sa.Column("reason", sa.Text, nullable=False),
    sa.Column("hash", sa.Text, nullable=False),
    sqlite_strict=True,
)

# Local to this file: the order in which entries came here. It never enters a fold.
ARRIVAL = sa.Table(
    "arrival",
    METADATA,
    sa.Column("sequence", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("entry", sa.Text, sa.ForeignKey("entry.id"), nullable=False, unique=True),
    sa.Column("received", sa.Text, nullable=False),
    sa.Column("clock_ahead_ms", sa.Integer),
    sqlite_strict=True,
)

# Entries that came with the id of another entry but not its content: kept and shown.
ASIDE = sa.Table(
    "aside",
    METADATA,
    sa.Column("hash", sa.Text, primary_key=True),
    sa.Column("id", sa.Text, nullable=False),
    sa.Column("envelope", sa.Text, nullable=False),
    sa.Column("received", sa.Text, nullable=False),
    sqlite_strict=True,
)

BLOB = sa.Table(
    "blob",
    METADATA,
    sa.Column("sha256", sa.Text, primary_key=True),
    sa.Column("data", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)

# What is true of this copy only: its bench, its device name.
LOCAL = sa.Table(
    "local",
    METADATA,
    sa.Column("key", sa.Text, primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
    sqlite_strict=True,
)
