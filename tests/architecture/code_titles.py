"""The titles of the codes a receipt can carry, read from the official file into a table of the program's own.

The package that holds the whole classification takes over a second and 190 MB to import, so it is read here, when a new
edition is taken over, and never while the program runs:

    python -m tests.architecture.code_titles --write

Which codes are read is said here; what needs another character is told by the classification itself.
"""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Final

__all__ = ["CODES", "EDITION", "TABLE", "main", "rows", "written"]

TABLE: Final = Path(__file__).parents[2] / "forms" / "clinical" / "code_table.py"
EDITION: Final = "ICD-10-CM, April 2026 release"
"""The release that the pinned package (1.5.0) holds; its README says so, and its file's name."""

CODES: Final = (
    "P92.01", "P92.09", "P92.1", "P92.2", "P92.3", "P92.4", "P92.5", "P92.6", "P92.8", "P92.9",
    "P59.9", "P74.1", "P74.21", "P37.5", "Q38.1", "Q38.0", "Q38.5",
    "R63.30", "R63.31", "R63.32", "R63.39", "R62.51", "R63.4", "R63.6", "R68.12",
    "O91.02", "O91.03", "O91.12", "O91.13", "O91.22", "O91.23", "O92.02", "O92.03", "O92.12", "O92.13",
    "O92.20", "O92.29", "O92.3", "O92.4", "O92.5", "O92.6", "O92.70", "O92.79",
    "Z39.1", "Z13.32", "Z00.110", "Z00.111",
)  # fmt: skip
"""The codes a visit about feeding is billed with; the headings above them come along."""


def rows() -> tuple[tuple[str, str, bool], ...]:
    """Each code and each heading above it, in order: code, official title, and whether it needs another character."""
    import simple_icd_10_cm as official

    headings = {
        above
        for code in CODES
        for above in official.get_ancestors(code)
        if official.is_category_or_subcategory(above) and not official.is_chapter_or_block(above)
    }
    return tuple(
        (code, official.get_description(code), not official.is_leaf(code)) for code in sorted({*CODES, *headings})
    )


def written(found: tuple[tuple[str, str, bool], ...], day: date) -> str:
    """The module that ships, as text."""
    lines = "".join(f"    {_row(*row)},\n" for row in found)
    return f'''"""Official titles of the codes a receipt can carry. Written by `python -m tests.architecture.code_titles --write`."""

from __future__ import annotations

from typing import Final

__all__ = ["EDITION", "READ", "ROWS"]

EDITION: Final = "{EDITION}"
READ: Final = "{day.isoformat()}"
"""The day on which the titles were read from the official file."""

ROWS: Final[tuple[tuple[str, str, bool], ...]] = (
{lines})  # fmt: skip
"""Each code: its characters, its title word for word, and whether it is a heading that needs another character."""
'''


def _row(code: str, title: str, heading: bool) -> str:
    return f'("{code}", "{title}", {heading})'


def main(arguments: list[str]) -> int:
    """Writes the table, or says whether the one that ships is the official one; 1 if it is not."""
    if arguments == ["--write"]:
        TABLE.write_text(written(rows(), datetime.now(UTC).date()), encoding="utf-8")
        return 0
    from forms.clinical import code_table

    same = rows() == code_table.ROWS and code_table.EDITION == EDITION
    print("The table is as the official file has it." if same else "The table differs from the official file.")
    return 0 if same else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
