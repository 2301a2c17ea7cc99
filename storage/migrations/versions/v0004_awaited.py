"""The line of a family knows what is due after an urgent call."""

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Changes no table: the lines, which follow from the log, are worked out anew when all migrations are done."""
