"""Who is who on screen: full name, tag shape and age, the same wherever a person stands."""

from __future__ import annotations

from desktop.open_chart import OpenChart
from forms.clinical.age import age, age_in_days
from forms.clinical.result import NoFigure
from forms.people import InfantIdentity, ParentIdentity
from forms.pictures import whose
from forms.pictures.whose import TagShape

__all__ = ["age_words", "full_name", "tag_of"]


def full_name(home: OpenChart, who: str) -> str:
    """The whole name: "Ida Thornquist"; what she is called by while no whole name is written."""
    entry = home.chart.by_id(who)
    identity = entry.answers if entry is not None else None
    for field in ("legal_name", "full_name"):
        value = getattr(identity, field, None)
        if isinstance(value, str) and value.strip():
            return value.strip()
    return home.names(who)


def tag_of(home: OpenChart, who: str) -> TagShape:
    """The person's shape: a cross for a parent, a baby's own once it is chosen, else the next free one."""
    return whose.tag_of(home.chart, who)


def age_words(home: OpenChart, who: str) -> str:
    """What stands small under a name: a baby's age, or "parent"."""
    if who in home.parents():
        return _role(home.chart.person(ParentIdentity, who))
    baby = home.chart.person(InfantIdentity, who)
    now = home.clock()
    found = age(baby.born, now)
    if not isinstance(found, NoFigure):
        return found.spoken
    days = age_in_days(baby.born, baby.born_day, now, home.zone)
    if isinstance(days, NoFigure):
        return f"no age: {days.why}"
    return "1 day" if days == 1 else f"{days} days"


def _role(parent: ParentIdentity) -> str:
    roles = parent.roles
    if isinstance(roles, tuple) and roles == ("grandparent",):
        return "grandparent"
    return "parent"
