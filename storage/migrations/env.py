"""Where Alembic runs the migrations: on the unlocked connection it is handed, inside that connection's transaction."""

from alembic import context

from storage.schema import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True)
context.run_migrations()
