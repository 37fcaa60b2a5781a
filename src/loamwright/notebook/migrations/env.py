"""Runs the numbered migrations on the connection that the notebook hands over."""

from alembic import context

from loamwright.notebook.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transaction_per_migration=True,
)
with context.begin_transaction():
    context.run_migrations()
