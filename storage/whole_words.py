"""What the README of an exported folder says."""

from __future__ import annotations

from typing import Final

__all__ = ["EVERYTHING", "ONE_PERSON"]

_TABLES: Final = """\
tables/answers.csv     Every answer as it stands, one row each, and one row for each item of a list.
                       Where two answers stand for one question, each has its row and "conflict" says yes.
                       "answered" says "value", or why there is none: not_asked, not_done, declined, none.
                       A question nobody touched has no row. A missing answer is never a zero.
                       "value" is what was kept, character by character; amounts stand as they were typed, with
                       "unit" beside them, and once more in whole "base" units.
                       "words" is the same in words: the option chosen, a name, the local time, the reason why not.
tables/entries.csv     Every entry: which form, whose, of which visit, begun when and by whom, struck out, signed.
tables/dictionary.csv  Every field: its label, the kind of answer, units, bounds, and open code if it has one.
tables/choices.csv     The codes of the fields that offer a choice, with their words.
attachments/           Each file under its SHA-256.
index.json             How much there is, and length and SHA-256 of each file.

The tables are CSV after RFC 4180 in UTF-8, for programs. No value was changed to suit one: an answer that begins
with = + - or @ begins so in the table too, and a spreadsheet that opens the file by a double click can take it for a
formula. Import the columns as text. "cells_like_formulas" in index.json says how many rows there are to look out for.
"""

EVERYTHING: Final = f"""\
THE WHOLE RECORD OF A PRACTICE, IN OPEN FORMATS

Nothing in this folder is encrypted. It holds everything that was charted, of every family, with what was told in
confidence (column "private"), what was struck out, and what stood before each change. It is the practice's own and
goes to nobody else. Keep it on an encrypted disk, and delete it when it has done its work.

record/operations.jsonl  The log: everything ever written, one JSON object a line, by device and number.
                         The SHA-256 of a line, without its end, is the name by which others refer to it.
record/acts.jsonl        Which devices were let in and put out, as signed. One a line, in Base64.
{_TABLES}
The log and the attachments are the record; the tables follow from them. "hearthside import" takes this folder into a
new, empty store, and what that store exports is equal to this folder byte by byte.

Not in it: keys, the seals of papers, passphrases, drafts, settings of the window, the audit journal of the device it
came from (it tells of that device and stays there), and whatever had not reached that device ("operations_missing" and
"attachments_missing" in index.json say what is known to be missing).
"""

ONE_PERSON: Final = f"""\
WHAT A PRACTICE'S RECORD HOLDS ABOUT ONE PERSON, IN OPEN FORMATS

These files are not encrypted themselves: only a disk, or a locked file they are carried in, protects them. Give them
to nobody but the person they are about, or whoever may have them. Carried in a PDF, which has no folders, their names
are joined by "-" ("tables-answers.csv").

In it: who the person is, the address of the family, and what was answered about this person, and about this person
together with one other (a feed, a latch), at visits that are signed and between visits. Of a signed visit what was
signed; what another device sent afterwards has a row of its own, and "after_signing" says yes. Photos that show this
person and nobody else, while the consent to them stands.

Not in it: what was told in confidence, what the practice noted for its own work, entries about other people and their
names, what an entry tells of another one beside (numbers told of a twin, somebody else's insurance), entries for which
two answers disagree about whom they are about, what was struck out or changed since, visits that are not signed yet
("visits_not_signed" in index.json says how many), and papers that were given out. Words that somebody typed stand as
they were typed, also where they name others: read them before the folder leaves.

{_TABLES}
This folder is to be read, not to be imported: the log, which proves itself link by link, cannot be cut for one person.
"""
