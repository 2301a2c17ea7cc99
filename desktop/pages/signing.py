"""Signing: what will be frozen, what still stands in the way, and the signature itself."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.pages.co_sign import FromStudents
from desktop.pages.decision import Decision
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.persons import full_name
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Absent, Conflicted, Moment
from forms.ask import paths
from forms.chart import Chart, Entry, Signed
from forms.clinical.prompts import open_prompts
from forms.contact import UrgentContact
from forms.form import Form, conflicted, value_at
from forms.note import Level, Why, blanks
from forms.practice import Practitioner
from forms.student import co_signature, is_student
from forms.trouble import Trouble
from forms.visit import Visit
from storage.log import SIGNED
from storage.rights import why_not
from storage.store import Store
from storage.troubles import StudentSignsNot

__all__ = ["NotAllSaved", "Signing", "note_of", "notes_held", "standing_in_the_way", "still_so"]


class NotAllSaved(Trouble):
    """A signature was asked for while something typed was not yet on disk."""

    template = "Not everything typed is on the disk yet, so the visit was not signed. Make room on it, then sign again."


_SETTLE_MS = 120
_WHOLE = "visit"


def note_of(chart: Chart, entry: Entry[Form]) -> str:
    """The note an entry belongs to: a person, a feeder and a baby, or the visit."""
    return _WHOLE if entry.id == chart.visit else "+".join(entry.place.subjects) or _WHOLE


def notes_held(chart: Chart) -> dict[str, int]:
    """The notes a signature freezes (person id, feeder id+baby id, "visit"), each with how many answers it holds."""
    found: dict[str, int] = {_WHOLE: 0}
    for entry in chart.entries:
        if entry.struck is not None or chart.visit not in (entry.id, entry.place.visit):
            continue
        note = note_of(chart, entry)
        given = (value_at(entry.answers, path) for path in paths(type(entry.answers)))
        found[note] = found.get(note, 0) + sum(one is not None for one in given)
    return found


def still_so(chart: Chart) -> int:
    """How many answers of this visit were brought forward from an earlier one and kept as they were."""
    here = (entry for entry in chart.entries if entry.struck is None and entry.place.visit == chart.visit)
    return sum(carried.still_so for entry in here for carried in entry.carried.values())


def standing_in_the_way(home: OpenChart) -> tuple[tuple[str, str, Jump], ...]:
    """What keeps the visit from being signed: a sentence, the words on its key, and where that leads."""
    chart, now = home.chart, home.clock()
    found: list[tuple[str, str, Jump]] = []
    why = why_not(chart.role, Visit.name, SIGNED)
    if why:
        found.append((why, "Finish list", Jump("leave", "", "leave.finish")))
    elif is_student(chart, home.author):
        found.append((StudentSignsNot().sentence, "Finish list", Jump("leave", "", "leave.finish")))
    urgent = open_prompts(chart, now)
    for person in dict.fromkeys(prompt.person for prompt in urgent):
        count = sum(prompt.person == person for prompt in urgent)
        signs = "an urgent sign" if count == 1 else f"{count} urgent signs"
        found.append(
            (
                f"{full_name(home, person)} shows {signs}, and what was done is not written down.",
                "Write it down",
                Jump("plan", person, "plan.urgent", UrgentContact.name),
            )
        )
    whys = [blank.why for blank in blanks(chart) if blank.level is Level.MUST]
    counts = {why: whys.count(why) for why in (Why.UNFILLED, Why.CARRIED)}
    must = len(whys) - sum(counts.values())
    for count, one, several in (
        (must, "1 question has no answer and needs one.", "{} questions have no answer and need one."),
        (counts[Why.UNFILLED], "1 answer still holds a blank to fill.", "{} answers still hold a blank to fill."),
        (
            counts[Why.CARRIED],
            "1 answer brought forward from an earlier visit is not gone through yet.",
            "{} answers brought forward from an earlier visit are not gone through yet.",
        ),
    ):
        if count:
            words = one if count == 1 else several.format(count)
            found.append((words, "Finish list", Jump("leave", "", "leave.finish")))
    torn = [
        entry
        for entry in chart.entries
        if entry.struck is None and chart.visit in (entry.id, entry.place.visit) and conflicted(entry.answers)
    ]
    if torn and not must:
        found.append(("Two answers stand for one question.", "Finish list", Jump("leave", "", "leave.finish")))
    return tuple(found)


class Signing(Stack):
    """The signing page: open, blocked, being signed, refused by the store, or signed."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.PAD)
        self.home = home
        self._shown: tuple[object, ...] = ()
        self._under_way = False
        self.told = Words("", size=Size.JOT, strong=True)
        self._blocks, self._frozen, self._keys = Stack(between=Space.GAP), Stack(between=Space.GAP), Stack()
        self.failed = Words("", ink=Role.WELD, strong=True)
        self.failed.hide()
        self.students = FromStudents(home, self._note_name, lambda entry: note_of(home.chart, entry))
        self.sign_key = Act("Sign this visit", kind=ActKind.MAIN)
        self.sign_key.clicked.connect(self._ask)
        self.add(self.told, self._blocks, self.students, self._frozen, self.failed, self._keys)
        row = QWidget()
        Flow(row).addWidget(self.sign_key)
        self._keys.add(row)
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self.refresh)
        home.changed.connect(self._settle.start)
        home.saved.connect(self._later)
        home.unsaved.connect(self._later)
        self.refresh()

    def _later(self, _what: object) -> None:
        self._settle.start()

    def refresh(self) -> None:
        """Show how it stands now."""
        self.students.refresh()
        signed = self.home.chart.signed()
        way = () if signed is not None else standing_in_the_way(self.home)
        shown = (
            signed,
            co_signature(self.home.chart),
            way,
            notes_held(self.home.chart),
            still_so(self.home.chart),
            self.home.unsaved_since,
            self._under_way,
        )
        if shown == self._shown:
            return
        self._shown = shown
        self._blocks.clear()
        self._frozen.clear()
        self._keys.setVisible(signed is None)
        if signed is not None:
            self._show_signed(signed)
            return
        self.told.say("Nothing stands in the way of signing." if not way else "What still stands in the way")
        self.told.take_ink(Role.INK)
        for sentence, words, jump in way:
            self._blocks.add(self._block(sentence, words, jump), Rule())
        self._show_notes(notes_held(self.home.chart))
        self.sign_key.setEnabled(not way and not self._under_way)
        self.sign_key.say("Signing …" if self._under_way else "Sign this visit")

    def _block(self, sentence: str, words: str, jump: Jump) -> QWidget:
        across = QWidget()
        beside = Beside(across, middle=True)
        urgent = jump.section == "plan.urgent"
        beside.addWidget(Words(sentence, strong=urgent, ink=Role.MADDER if urgent else Role.INK))
        go = Act(words, kind=ActKind.URGENT if urgent else ActKind.PLAIN, icon=None if urgent else Icon.JUMP)
        go.setAccessibleName(f"{words}: {sentence}")
        go.clicked.connect(lambda: InView.of(self.home).jumped.emit(jump))
        beside.addWidget(go)
        return across

    def _note_name(self, note: str) -> str:
        if note == _WHOLE:
            return "The visit itself: head, who was there, the plan"
        people = [full_name(self.home, one) for one in note.split("+")]
        return people[0] if len(people) == 1 else f"{people[0]} feeding {people[1]}"

    def _show_notes(self, notes: dict[str, int]) -> None:
        self._frozen.add(Words("What will be frozen", size=Size.JOT, title=True), Rule(strong=True))
        for note, answers in sorted(notes.items(), key=lambda one: one[0] != _WHOLE):
            across = QWidget()
            beside = Beside(across, middle=True)
            beside.addWidget(Words(self._note_name(note)))
            beside.addWidget(Words("1 answer" if answers == 1 else f"{answers} answers", ink=Role.SOFT_INK, wrap=False))
            self._frozen.add(across)
        kept = still_so(self.home.chart)
        if kept:
            some = "1 answer was" if kept == 1 else f"{kept} answers were"
            self._frozen.add(Words(f"{some} brought forward from an earlier visit and gone through today."))
        self._frozen.add(
            Words(
                "Once signed, none of it changes. What is learned later is added to it, with your name and the time; "
                "contacts and papers go on being written down.",
                ink=Role.SOFT_INK,
            )
        )

    def _show_signed(self, signed: Signed) -> None:
        by = self.home.chart.person(Practitioner, signed.by).full_name
        name = by if isinstance(by, str) and not isinstance(by, Absent | Conflicted) else "the consultant"
        when = moment_words(Moment(signed.at, self.home.zone))
        if co_signature(self.home.chart) is None:
            self.told.say(f"Signed by {name}, a student then, {when}: not co-signed. Papers say so and carry no seal.")
            self.told.take_ink(Role.WELD)
        else:
            self.told.say(f"Signed by {name}, {when}.")
            self.told.take_ink(Role.ALDER)
        self._frozen.add(
            Words("What is frozen, each note with its fingerprint", size=Size.JOT, title=True), Rule(strong=True)
        )
        for note, digest in sorted(signed.notes.items(), key=lambda one: one[0] != _WHOLE):
            across = QWidget()
            beside = Beside(across, middle=True)
            beside.addWidget(Words(self._note_name(note)))
            beside.addWidget(Words(_grouped(digest), size=Size.SMALL, ink=Role.SOFT_INK, wrap=False))
            self._frozen.add(across)
        self._frozen.add(Words(f"Over all of them: {_grouped(signed.digest)}", size=Size.SMALL, ink=Role.SOFT_INK))
        papers = Act("Go on to the papers", kind=ActKind.MAIN, icon=Icon.JUMP)
        papers.clicked.connect(lambda: InView.of(self.home).jumped.emit(Jump("leave", "", "leave.papers")))
        row = QWidget()
        Flow(row).addWidget(papers)
        self._frozen.add(row)

    def _ask(self) -> None:
        self.failed.hide()
        self.refresh()
        if not self.sign_key.isEnabled():
            return
        people = len(notes_held(self.home.chart)) - 1
        notes = "1 person or pair" if people == 1 else f"{people} people and pairs"
        Decision(
            self.window(),
            "Sign this visit?",
            f"The visit and the notes of {notes} are frozen as they stand. This cannot be taken back.",
            (("Sign", self._sign), ("Not yet", lambda: None)),
        )

    def _sign(self) -> None:
        visit, author = self.home.chart.visit, self.home.author
        if visit is None or standing_in_the_way(self.home):
            self.refresh()
            return
        self._under_way = True
        self.refresh()
        self.home.save()

        def sign(store: Store) -> Signed:
            """Behind the saving in the lane: what the disk would not take must not be missing from what is signed."""
            if self.home.pending():
                raise NotAllSaved
            return store.sign(visit, author=author)

        self.home.lane.run(sign, self._done, self._refused)

    def _done(self, _signed: Signed) -> None:
        # The page may be gone by now; the record is read anew all the same.
        self._under_way = False
        self.home.reload(self._show_if_here)

    def _show_if_here(self) -> None:
        if isValid(self):
            self.refresh()

    def _refused(self, trouble: Trouble) -> None:
        self._under_way = False
        if not isValid(self):
            return
        self.failed.say(trouble.sentence)
        self.failed.show()
        self.refresh()


def _grouped(digest: str) -> str:
    """The first sixteen figures of a fingerprint in fours; the whole of it stays in the record."""
    return " ".join(digest[at : at + 4] for at in range(0, 16, 4))
