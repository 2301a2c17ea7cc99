"""Which of many points lies nearest: a grid of cells, so that ten thousand are as quick to ask as ten."""

from __future__ import annotations

from math import ceil, floor, hypot

__all__ = ["Near"]


class Near:
    """Points in mm, each with a number of its own, in square cells `cell` mm wide. `asked` counts points compared."""

    def __init__(self, cell: float) -> None:
        self._cell = cell
        self._cells: dict[tuple[int, int], list[tuple[float, float, int]]] = {}
        self.asked = 0

    def add(self, x: float, y: float, number: int) -> None:
        """Put a point in."""
        self._cells.setdefault((floor(x / self._cell), floor(y / self._cell)), []).append((x, y, number))

    def nearest(self, x: float, y: float, reach: float) -> int | None:
        """The number of the nearest point within `reach` mm, of two equally near the later one; None without any."""
        column, row, around = floor(x / self._cell), floor(y / self._cell), ceil(reach / self._cell)
        best: tuple[float, int] | None = None
        for across in range(column - around, column + around + 1):
            for down in range(row - around, row + around + 1):
                for px, py, number in self._cells.get((across, down), ()):
                    self.asked += 1
                    away = hypot(x - px, y - py)
                    if away <= reach and (best is None or (away, -number) < best):
                        best = away, -number
        return None if best is None else -best[1]
