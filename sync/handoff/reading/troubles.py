"""Why a file that came from elsewhere is not read; each in one sentence that says what to do."""

from __future__ import annotations

from forms.trouble import Trouble

__all__ = [
    "BadNumber", "BadTable", "BadText", "BrokenRecord", "NoRecordInside", "NoTable", "NotAHandOver", "NotReadable",
    "PackedTightly", "SaidTwice", "TangledForm", "TooDeep", "TooLarge", "TooManyFields", "WrongShape",
]  # fmt: skip


class NotReadable(Trouble):
    """The file cannot be taken as a hand-over. Nothing of it was kept."""

    template = "This file cannot be read as a hand-over. Ask the sender for it again, or choose another file."


class NotAHandOver(NotReadable):
    """Neither a paper, nor a record, nor a table, nor XML."""

    template = (
        "This file is no PDF, no FHIR record in JSON, no CSV and no XML, so nothing can be read from it. Choose "
        "another file."
    )


class NoTable(NotReadable):
    """Rows and columns, but under headings that say nothing here."""

    template = (
        "The first row of this CSV is neither that of a feeding log nor one with what, value, unit and when, so "
        "nothing of it was read. Put these four headings over its columns."
    )


class BadTable(NotReadable):
    """A CSV that cannot be taken apart."""

    template = "{why}"


class TooLarge(NotReadable):
    """More bytes, or more parts, than a hand-over has."""

    template = "This file is larger than any hand-over, so it was not opened. Ask the sender for the letter alone."


class TooDeep(NotReadable):
    """Lists inside lists without end."""

    template = (
        "The record in this file is nested deeper than any real record, so it was not opened. Ask the sender for it "
        "again."
    )


class BrokenRecord(NotReadable):
    """No JSON, or cut off."""

    template = "The record in this file is damaged or cut off, so nothing of it was read. Ask the sender for it again."


class SaidTwice(NotReadable):
    """One object gives the same name twice: which of the two values holds nobody can say."""

    template = (
        "The record in this file gives two values under one name, so nothing of it was read. Ask the sender which of "
        "them holds."
    )


class BadNumber(NotReadable):
    """A number that no measurement has."""

    template = (
        "The record in this file holds a number that no measurement can have, so nothing of it was read. Ask the "
        "sender to check it."
    )


class BadText(NotReadable):
    """Text that cannot be kept, because half a character stands alone."""

    template = (
        "The record in this file holds letters that cannot be kept as they are, so nothing of it was read. Ask the "
        "sender for it again."
    )


class WrongShape(NotReadable):
    """JSON, but no bundle of FHIR resources."""

    template = (
        "This file is no FHIR bundle with its entries, so nothing of it was read. Ask the sender for the record as a "
        "FHIR R4 bundle."
    )


class NoRecordInside(NotReadable):
    """A paper that carries no open record."""

    template = (
        "This PDF carries no record that a program can read. Read it as a paper, and chart what you take from it."
    )


class PackedTightly(NotReadable):
    """An attachment packed in a way whose size cannot be bounded."""

    template = (
        "The record inside this PDF is packed in a way that is not opened here. Ask the sender for the record as a "
        "file of its own."
    )


class TooManyFields(NotReadable):
    """A form with more fields than anybody fills in."""

    template = (
        "This PDF has more fields than any sheet, so nothing of it was read. Read it as a paper, and ask the family "
        "for the sheet you sent."
    )


class TangledForm(NotReadable):
    """Fields that stand inside themselves, or deeper than any form has them."""

    template = (
        "The fields of this PDF are entangled, so nothing of it was read. Read it as a paper, and ask the family for "
        "the sheet you sent."
    )
