"""The pages of the gallery that show the kit itself, on a sample form, laid out as a visit is."""

from __future__ import annotations

from datetime import UTC, datetime

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desktop.controls.band import Band, person_act
from desktop.controls.banner import Banner, Urgent, UrgentPanel
from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Beside, Flow, Reach, Stack, spaced
from desktop.controls.moons import Half, Moons, Tag
from desktop.controls.question import question_for
from desktop.controls.segments import Tabs
from desktop.controls.strip import Figure, Strip
from desktop.controls.surfaces import Surface
from desktop.controls.thread import Moment as Bead
from desktop.controls.thread import Thread
from desktop.controls.veil import PrivateVeil
from desktop.controls.words import Rule, Title, Words
from desktop.theme.halfmoons import MoonState, TagShape
from desktop.theme.icons import Icon, paint_icon
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Absence, Absent, Conflicted, Moment, Quantity, Side, Variant
from tests.helpers.sample_kit import SampleBinding

MOMENTS = (
    Bead("arrive", "Arrive", MoonState.DONE),
    Bead("story", "Story", MoonState.DONE),
    Bead("weigh", "Weigh", MoonState.DONE),
    Bead("feed", "Feed", MoonState.DONE, MoonState.NOT_DONE),
    Bead("look", "Look", MoonState.CONCERN, MoonState.NOT_DONE),
    Bead("plan", "Plan", MoonState.DECLINED),
    Bead("leave", "Leave"),
)


def _figures() -> list[QWidget]:
    return [
        Figure("Taken, left side", "26 g", small="about 26 mL, ± 2 g of scale. One feed is one sample.",
               worked_out=(("Formula", ("Weight after less weight before",)), ("From", ("After: 2,690 g", "Before: 2,664 g")))),
        Figure("Sucks to a swallow, left", "1.8", small="early, 4.2 late", large=False),
        Figure("What changed", small="Deeper latch, left: pain 5, then 2"),
    ]  # fmt: skip


def _band() -> Band:
    band = Band()
    band.set_people((
        person_act("Mara Thornquist", "parent", TagShape.PARENT),
        person_act("Ida Thornquist", "3 weeks 1 day, 38 w 3 d", TagShape.CIRCLE),
        person_act("Juno Thornquist", "3 weeks 1 day, 38 w 3 d", TagShape.SQUARE),
    ))  # fmt: skip
    band.show_person(1)
    band.set_acts((
        Act("Jot", key="F3"), Act("Begin observing", key="F2", kind=ActKind.MAIN), Act("Shared view", key="F9"),
    ))  # fmt: skip
    return band


def visit(title: str, status: str, content: list[QWidget], *, at: str = "look", tabs: Tabs | None = None) -> QWidget:
    """A visit's window with `content` in the middle."""
    window = Surface(Role.CARD)
    column = QVBoxLayout(window)
    spaced(column, Space.NONE)
    row = QHBoxLayout()
    spaced(row, Space.NONE)
    thread = Thread(MOMENTS)
    thread.show_visit("Second visit, at home", "Tue 3 Mar, 10:42")
    thread.show_saved("saved 10:42")
    thread.show_current(at)
    middle = Stack(between=Space.SNUG)
    middle.setContentsMargins(Space.WIDE, Space.WIDE, Space.WIDE, Space.WIDE)
    head = QWidget()
    line = Beside(head, low=True)
    line.addWidget(Title(title))
    line.addWidget(Words(status, ink=Role.SOFT_INK, wrap=False))
    middle.add(head)
    if tabs is not None:
        middle.add(tabs)
    for place, widget in enumerate(content):
        if place:
            middle.add(Rule())
        middle.add(widget)
    middle.finish()
    strip = Strip()
    strip.show_parts(_figures())
    row.addWidget(thread)
    row.addWidget(Reach(middle), 1)
    row.addWidget(strip)
    column.addLayout(row, 1)
    column.addWidget(_band())
    return window


def _questions(binding: SampleBinding, *fields: str) -> list[QWidget]:
    return [question_for(binding, field) for field in fields]


def choices() -> QWidget:
    """One of several, any of several, sides, a scale."""
    binding = SampleBinding(
        {
            "reaches": ("gum", "changes"),
            "lifts": "edges",
            "follows@left": "yes",
            "pain@left": 4,
            "pain_kind@left": ("sharp",),
        }
    )
    tabs = Tabs(
        "Parts of the mouth", {"lips": "Lips", "gums": "Gums, palate", "tongue": "Tongue", "suck": "Suck on finger"}
    )
    tabs.show_codes(("tongue",))
    content = _questions(binding, "reaches", "lifts", "follows", "pain")
    return _kept(visit("Ida's mouth: tongue", "quiet alert, gloved", content, tabs=tabs), binding)


def figures() -> QWidget:
    """Measures, counts, times, with the number pad open."""
    binding = SampleBinding({"weight": Quantity("2664", "g", 2664), "wet": 6})
    content = _questions(binding, "weight", "wet", "weighed_at", "born", "shield")
    window = _kept(visit("Weigh Ida", "on a dry diaper", content, at="weigh"), binding)
    content[0].controls()[0].opener.setChecked(True)  # type: ignore[attr-defined]  # the question of a quantity
    return window


def words() -> QWidget:
    """Lines, notes, people."""
    binding = SampleBinding({"more": "tires after about a minute, then clamps", "shield": True})
    return _kept(
        visit("What Mara told", "asked with Jonas there", _questions(binding, "more", "scale_name", "baby", "told", "shield"), at="story"),
        binding,
    )  # fmt: skip


def states() -> QWidget:
    """Absences, a refusal, a doubt, two answers, a veil."""
    at = datetime(2026, 3, 3, 10, 42, tzinfo=UTC)
    two = Conflicted((Variant(4, "R. Vale", at, "laptop", "a"), Variant(6, "R. Vale", at, "tablet", "b")))
    binding = SampleBinding(
        {"lifts": Absent(Absence.NOT_DONE, "she fell asleep"), "pain@right": two, "wet": 4,
         "weighed_at": Moment(datetime(2026, 3, 4, 9, 0, tzinfo=UTC), "UTC")}
    )  # fmt: skip
    binding.doubts["weighed_at"] = "This time is still to come; is this device's clock right?"
    content = _questions(binding, "lifts", "wet", "weighed_at", "pain")
    content[1].controls()[0].type("61")  # type: ignore[attr-defined]  # the question of a count
    content[1].commit()  # type: ignore[attr-defined]
    content[0].no_answer.setChecked(True)  # type: ignore[attr-defined]
    mood = Stack()
    mood.add(*_questions(binding, "mood"))
    content.insert(2, PrivateVeil("Mood and safety", mood, stamp=question_for(binding, "alone")))
    return _kept(visit("Ida's mouth: tongue", "quiet alert", content), binding)


def urgent() -> QWidget:
    """News and the urgent panel."""
    panel = UrgentPanel(
        Urgent(
            "Same day", "Bram", ("9.1 % below birth weight at 5 days", "sleepy at every feed"),
            "A baby this sleepy may be taking too little to wake for the next feed.",
            "Dr Amadi's practice, 555 0134, today; tell the family what to do until then.", "SAMPLE, row 3",
        ),
        (Act("Reached them", kind=ActKind.URGENT), Act("Tried, not reached"), Act("Family refused"), Act("Override")),
    )  # fmt: skip
    window = visit("Bram", "5 days", [panel, *_questions(SampleBinding(), "wet")], at="weigh")
    outer = QWidget()
    column = QVBoxLayout(outer)
    spaced(column, Space.NONE)
    column.addWidget(
        Banner("Locks in 20 s. Any key or touch keeps it open.", (Act("Keep open", kind=ActKind.MAIN),), watch=True)
    )
    column.addWidget(window, 1)
    return outer


class _Icons(QWidget):
    def __init__(self, icon: Icon) -> None:
        super().__init__()
        self._icon = icon
        self.setAccessibleName(icon)
        self.setMinimumSize(Target.TOUCH, Target.TOUCH)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        side = look().px(Target.ICON)
        paint_icon(QPainter(self), QRectF(0, 0, side, side), self._icon, look().colour(Role.INK))


def shapes() -> QWidget:
    """Type, moons, tags, icons, buttons."""
    page = Stack(between=Space.WIDE)
    page.setContentsMargins(Space.FAR, Space.BROAD, Space.FAR, Space.BROAD)
    page.add(Title("Tuesday, three homes", size=Size.GREETING))
    type_row, moon_row, tag_row, icon_row, act_row = (QWidget() for _ in range(5))
    rows = [Flow(row, gap=Space.WIDE) for row in (type_row, moon_row, tag_row, icon_row, act_row)]
    for size in Size:
        rows[0].addWidget(Words("2,664 g 1lI 0O", size=size, strong=size >= Size.FIGURE, wrap=False))
    for state in MoonState:
        rows[1].addWidget(Moons(state, None, "Weigh"))
        rows[1].addWidget(Moons(state, MoonState.NOT_DONE, "Feed"))
        rows[1].addWidget(Half(Side.LEFT, "Mara's left"))
        rows[1].addWidget(Words(state, wrap=False))
    for shape, name in zip(TagShape, ("Ida", "Juno", "Bram", "Emil", "Mara"), strict=True):
        rows[2].addWidget(Tag(shape, name))
        rows[2].addWidget(Words(name, wrap=False))
    for icon in Icon:
        rows[3].addWidget(_Icons(icon))
    for act in (
        Act("Open"), Act("Call now", kind=ActKind.MAIN), Act("Reached them", kind=ActKind.URGENT), Act("Leave both", kind=ActKind.BARE),
        Link("how it is worked out"), Act("Jot", key="F3"),
    ):  # fmt: skip
        rows[4].addWidget(act)
    page.add(type_row, Rule(), moon_row, Rule(), tag_row, Rule(), icon_row, Rule(), act_row)
    page.finish()
    ground = Surface(Role.CARD)
    column = QVBoxLayout(ground)
    spaced(column, Space.NONE)
    column.addWidget(Reach(page))
    return ground


def _kept(window: QWidget, binding: SampleBinding) -> QWidget:
    """The window, keeping its binding alive as long as itself."""
    binding.setParent(window)
    return window
