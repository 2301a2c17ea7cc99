"""One answer to a letter: its words, the file it came in, whom it was told to; it opens in place to be written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Stack
from desktop.controls.photo_view import PhotoView, decoded
from desktop.controls.shown import answer_words, moment_words
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.pages.paper_view import PaperPages
from desktop.pages.plain import key_row
from desktop.sheets.laid import Laid, lay
from desktop.sheets.letter_answer import ANSWER
from desktop.sheets.listing import StrikeAsked
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Moment
from forms.ask import ask_of
from forms.letter_answer import LetterAnswer
from forms.trouble import Trouble

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from sync.handoff.answer_in import AnswerFile

__all__ = ["AnswerShown"]

_KINDS: Final = "Papers and photos (*.pdf *.jpg *.jpeg *.png *.webp *.PDF *.JPG *.JPEG *.PNG)"
_LONGEST: Final = 1_400
KEPT: Final = "The file is kept with the record. The one you chose is still where it was; delete it there yourself."


class AnswerShown(Stack):
    """The answer. `pick` asks for a file."""

    def __init__(self, home: OpenChart, answer: str, pick: Callable[..., Path | None]) -> None:
        super().__init__(between=Space.FINE)
        self.setContentsMargins(Space.WIDE, Space.GAP, 0, Space.GAP)
        self.home, self.answer, self._pick = home, answer, pick
        self.words, self.more = Words("", strong=True), Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.change, self.show_file, self.strike = Link("Change"), Link("Show the file"), Link("Strike out")
        self.change.clicked.connect(self.turn)
        self.show_file.clicked.connect(self._turn_file)
        self.strike.clicked.connect(self._ask_why)
        self.attach = Act("Add the file it came in", icon=Icon.PAPER)
        self.attach.clicked.connect(self._choose)
        self.told = Words("", strong=True)
        self.told.hide()
        self._below = Stack(between=Space.PAD)
        self._below.setContentsMargins(0, Space.GAP, 0, 0)
        self.page: Laid | None = None
        self.file: PaperPages | PhotoView | None = None
        self.add(self.words, self.more, key_row(self.change, self.show_file, self.strike, self.attach), self.told)
        self.add(self._below)
        self.refresh()

    @property
    def answers(self) -> LetterAnswer:
        """The answer as it stands, typed or saved."""
        found = self.home.binding(LetterAnswer, entity=self.answer).answers()
        assert isinstance(found, LetterAnswer)
        return found

    def refresh(self) -> None:
        """Say what stands."""
        kept = self.answers
        torn = any(isinstance(one, Conflicted) for one in (kept.outcome, kept.words, kept.from_whom, kept.came))
        outcome = answer_words(ask_of(LetterAnswer, "outcome"), kept.outcome) if kept.outcome is not None else ""
        said = answer_words(ask_of(LetterAnswer, "words"), kept.words) if kept.words is not None else ""
        self.words.say(f"Answer: {': '.join(filter(None, (outcome, said))) or 'not written yet'}")
        self.words.take_ink(Role.WELD if torn or not outcome or not said else Role.INK)
        self.more.say(". ".join(filter(None, (self._from(kept), self._file(kept), self._told(kept)))))
        self.show_file.setVisible(isinstance(kept.file, str))
        self.attach.setVisible(kept.file is None)

    def _from(self, kept: LetterAnswer) -> str:
        whom = answer_words(ask_of(LetterAnswer, "from_whom"), kept.from_whom)
        came = answer_words(ask_of(LetterAnswer, "came"), kept.came)
        said = (f"From {whom}" if kept.from_whom is not None else "", f"came {came}" if kept.came is not None else "")
        return ", ".join(filter(None, said))

    def _file(self, kept: LetterAnswer) -> str:
        if kept.file is None:
            return "No file is kept"
        if isinstance(kept.file, Conflicted):
            return f"{len(kept.file.variants)} files stand; settle which one holds under what differs"
        return f"File: {kept.called}" if isinstance(kept.called, str) else "File kept"

    def _told(self, kept: LetterAnswer) -> str:
        if not isinstance(kept.told_at, Moment):
            return "The family is not told yet" if kept.told_at is None else "When the family was told has two answers"
        whom = f" to {kept.told_whom.strip()}" if isinstance(kept.told_whom, str) and kept.told_whom.strip() else ""
        return f"Told{whom}, {moment_words(kept.told_at)}"

    # --- writing ----------------------------------------------------------------------------------------------------

    def turn(self) -> None:
        """Open the questions in place, or close them; what was typed is kept."""
        if self.page is not None:
            self.page.commit()
            self.page = None
            self._below.clear()
            self.change.say("Change")
            return
        self._below.clear()
        self.file = None
        self.show_file.say("Show the file")
        self.page = lay(ANSWER, self.home, self.answer)
        self._below.add(self.page)
        self.change.say("Close")

    def _ask_why(self) -> None:
        self.strike.setEnabled(False)
        self.add(StrikeAsked(self.home, self.answer))

    # --- the file ---------------------------------------------------------------------------------------------------

    def _choose(self) -> None:
        place = self._pick(self, "Choose the answer that came", Path.home(), kinds=_KINDS)
        if place is not None:
            self.read(place)

    def read(self, place: Path) -> None:
        """Read a file beside the store and keep it with the answer."""
        from sync.handoff.answer_in import answer_file  # its libraries are not needed to open the page

        self.attach.setEnabled(False)
        self._say("Reading the file …", Role.SOFT_INK)
        self.home.lane.beside(lambda: answer_file(place), self._keep, self._not_kept)

    def _keep(self, file: AnswerFile) -> None:
        from sync.handoff.answer_in import attached

        self.home.write(
            lambda store: attached(store, self.answer, file), lambda _done: self._say(KEPT, Role.ALDER), self._not_kept
        )

    def _not_kept(self, trouble: Trouble) -> None:
        self.attach.setEnabled(True)
        self._say(trouble.sentence, Role.WELD)

    def _say(self, words: str, ink: Role) -> None:
        self.told.say(words)
        self.told.take_ink(ink)
        self.told.show()

    def _turn_file(self) -> None:
        if self.file is not None:
            self.file = None
            self._below.clear()
            self.show_file.say("Show the file")
            return
        name = self.answers.file
        if isinstance(name, str):
            self.home.lane.run(lambda store: store.attachment(name), self._show_file, self._not_shown)

    def _not_shown(self, trouble: Trouble) -> None:
        self._say(trouble.sentence, Role.WELD)

    def _show_file(self, data: bytes) -> None:
        if self.page is not None:
            self.turn()
        self._below.clear()
        if self.answers.media == "pdf":
            self.file = PaperPages(data)
            self._below.add(self.file)
        else:
            self.home.lane.beside(lambda: decoded(data, _LONGEST), self._show_photo)
        self.show_file.say("Put the file away")

    def _show_photo(self, image: QImage) -> None:
        self.file = PhotoView()
        if image.isNull():
            self.file.show_words("This picture cannot be shown on this machine. It is kept as it is.")
        else:
            self.file.show_image(image, "The answer, as it was photographed")
        self._below.add(self.file)
