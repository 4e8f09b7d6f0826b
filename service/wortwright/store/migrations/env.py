"""Alembic's entry: run the steps on the connection that the database hands over."""

from alembic import context

from wortwright.store.models import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
    transactional_ddl=True,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
