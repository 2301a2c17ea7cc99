"""The first shape of the store."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes every table."""
    _record()
    _follows()
    _beside()


def _record() -> None:
    op.create_table(
        "step",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("author", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("undone_by", sa.Integer),
        sa.PrimaryKeyConstraint("number", name="pk_step"),
    )
    op.create_table(
        "operation",
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("entity", sa.Text, nullable=False),
        sa.Column("field", sa.Text, nullable=False),
        sa.Column("chain", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("step", sa.Integer),
        sa.Column("restores", sa.Text),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("position", name="pk_operation"),
        sa.UniqueConstraint("hash", name="uq_operation_hash"),
        sa.ForeignKeyConstraint(["step"], ["step.number"], name="fk_operation_step_step"),
    )
    op.create_index("ix_operation_entity_field", "operation", ["entity", "field"])
    op.create_index("ix_operation_step", "operation", ["step"])
    op.create_index("ix_operation_chain_seq", "operation", ["chain", "seq"])
    op.create_table(
        "journal",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_journal"),
    )


def _follows() -> None:
    op.create_table(
        "register",
        sa.Column("entity", sa.Text, nullable=False),
        sa.Column("field", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("value", sa.LargeBinary, nullable=False),
        sa.Column("author", sa.Text, nullable=False),
        sa.Column("chain", sa.Text, nullable=False),
        sa.Column("millis", sa.Integer, nullable=False),
        sa.Column("tick", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("entity", "field", "hash", name="pk_register"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "entry",
        sa.Column("entity", sa.Text, nullable=False),
        sa.Column("form", sa.Text, nullable=False),
        sa.Column("family", sa.Text),
        sa.Column("visit", sa.Text),
        sa.Column("subjects", sa.Text, nullable=False),
        sa.Column("author", sa.Text, nullable=False),
        sa.Column("millis", sa.Integer, nullable=False),
        sa.Column("tick", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("entity", name="pk_entry"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_entry_family", "entry", ["family"])
    op.create_index("ix_entry_visit", "entry", ["visit"])
    op.create_index("ix_entry_form", "entry", ["form"])
    op.create_table(
        "family_line",
        sa.Column("family", sa.Text, nullable=False),
        sa.Column("line", sa.LargeBinary, nullable=False),
        sa.Column("sought", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("family", name="pk_family_line"),
        sqlite_with_rowid=False,
    )


def _beside() -> None:
    op.create_table(
        "loss",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("count", sa.Integer, nullable=False),
        sa.Column("since", sa.Text, nullable=False),
        sa.Column("copy", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_loss"),
    )
    op.create_table(
        "attachment",
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_attachment"),
    )
    op.create_table(
        "secret",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("sealed", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_secret"),
    )
    op.create_table(
        "device_key",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("public", sa.LargeBinary, nullable=False),
        sa.Column("sealed", sa.LargeBinary),
        sa.PrimaryKeyConstraint("name", name="pk_device_key"),
    )
    op.create_table(
        "setting",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("value", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_setting"),
    )
