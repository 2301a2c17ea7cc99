"""What arrived for a signed visit after its signature has a place."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes the table; it is filled from the log when all migrations are done. No row that was there changes."""
    op.create_table(
        "late",
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("entity", sa.Text, nullable=False),
        sa.Column("field", sa.Text, nullable=False),
        sa.Column("visit", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("hash", name="pk_late"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_late_entity", "late", ["entity"])
    op.create_index("ix_late_visit", "late", ["visit"])
