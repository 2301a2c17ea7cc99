"""One question about many names: they go over as a single value, whatever their number."""

from __future__ import annotations

from collections.abc import Iterable

import orjson
from sqlalchemy import Column, ColumnElement, Select, func, select

__all__ = ["among", "values_of"]


def values_of(names: Iterable[str]) -> Select[tuple[str]]:
    """These names, each as a row."""
    listed = func.json_each(orjson.dumps(sorted(set(names))).decode()).table_valued("value", name="listed")
    return select(listed.c.value)


def among(column: Column[str] | ColumnElement[str], names: Iterable[str]) -> ColumnElement[bool]:
    """That the column is one of these names.

    A placeholder for each would be a piece of memory for each, which the engine locks and unlocks one by one, and
    another statement for each count of them.
    """
    return column.in_(values_of(names))
