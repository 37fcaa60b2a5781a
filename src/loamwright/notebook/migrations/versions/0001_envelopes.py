"""The first tables: entries, arrivals, entries set aside, blobs, what is local."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the five tables."""
    op.create_table(
        "entry",
        sa.Column("id", sa.Text, primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("project", "kind")),
        sa.Column("schema", sa.Integer, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("offset", sa.Integer, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("by", "device", "body", "replaces", "reason", "hash")),
        sqlite_strict=True,
    )
    op.create_index("entry_project", "entry", ["project"])
    op.create_table(
        "arrival",
        sa.Column("sequence", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("entry", sa.Text, sa.ForeignKey("entry.id"), nullable=False, unique=True),
        sa.Column("received", sa.Text, nullable=False),
        sa.Column("clock_ahead_ms", sa.Integer),
        sqlite_strict=True,
    )
    op.create_table(
        "aside",
        sa.Column("hash", sa.Text, primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("id", "envelope", "received")),
        sqlite_strict=True,
    )
    op.create_table(
        "blob",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "local",
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("value", sa.Text, nullable=False),
        sqlite_strict=True,
    )
