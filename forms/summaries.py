"""Summary answers: "seen, no concern" for one region, and on one side of it, written by one act.

A summary answer writes the plain answer to each line it claims and remembers which ones. It is offered only for lines
that are open and untouched; a line that was answered, has two answers or is not asked stays as it is. It never stands
for output, weight, pain, mood, safety or an impression: no such question may be claimed (a test holds the lists).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from forms.answers import Conflicted, Given, Side, every
from forms.ask import Kind, Path, asks
from forms.form import Form, is_open, value_at

__all__ = ["claimed", "is_summary", "plain_answers", "would_write"]


def plain_answers(form: type[Form], summary: str) -> Mapping[str, Any]:
    """The answer that a summary answer gives to each field it claims, in the shape that field keeps."""
    questions = asks(form)
    claims = questions[summary].claims
    return {name: (code,) if questions[name].kind is Kind.MANY else code for name, code in claims.items()}


def would_write(answers: Form, summary: str, side: Side | None = None) -> Mapping[Path, Any]:
    """What the summary answer would write now, by where; nothing that is answered already, disputed or not asked."""
    form = type(answers)
    found = {Path(name, side): plain for name, plain in plain_answers(form, summary).items()}
    return {path: plain for path, plain in found.items() if is_open(answers, path) and value_at(answers, path) is None}


def claimed(answers: Form, summary: str, side: Side | None = None) -> tuple[Path, ...]:
    """The lines that stand as the summary answer wrote them; one that was answered anew since is none of them."""
    plain = plain_answers(type(answers), summary)
    wrote = {name for fields in every(value_at(answers, Path(summary, side))) for name in fields}
    found = (Path(name, side) for name in plain if name in wrote)
    return tuple(path for path in found if _stands(value_at(answers, path), plain[path.field]))


def is_summary(answers: Form, path: Path) -> bool:
    """Whether the answer at a path stands because of a summary answer."""
    return any(
        path in claimed(answers, name, path.side)
        for name, ask in asks(type(answers)).items()
        if path.field in ask.claims
    )


def _stands(given: Given[Any], plain: object) -> bool:
    return not isinstance(given, Conflicted) and given == plain
