"""What travels between devices has a place."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes the tables of what was sent, taken in, awaited and kept aside. No row that was there changes."""
    op.create_table(
        "awaited",
        sa.Column("entity", sa.Text, nullable=False),
        sa.Column("field", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("entity", "field", "hash", name="pk_awaited"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "change_file",
        sa.Column("chain", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("first", sa.Integer, nullable=False),
        sa.Column("last", sa.Integer, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("chain", "number", "hash", name="pk_change_file"),
    )
    op.create_table(
        "blob",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("chain", sa.Text, nullable=False),
        sa.Column("epoch", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("length", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_blob"),
    )
    op.create_table(
        "act",
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("hash", name="pk_act"),
    )
    op.create_table(
        "practice_key",
        sa.Column("epoch", sa.Text, nullable=False),
        sa.Column("sealed", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("epoch", name="pk_practice_key"),
    )
    op.create_table(
        "aside",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("millis", sa.Integer, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("name", "hash", name="pk_aside"),
    )
