"""What stops a round, each in one sentence that says what to do; nothing is changed by any of them."""

from __future__ import annotations

from forms.trouble import Trouble

__all__ = ["Continued", "EmptyTarget", "ForeignTarget", "NotFounded", "NotLetIn", "NotMember", "SheetTooOld", "Stopped"]


class NotFounded(Trouble):
    """The store belongs to no practice that is shared yet."""

    template = "This record is not shared yet. Set up sharing on the sync page first."


class EmptyTarget(Trouble):
    """The place holds nothing although this practice was there before; that is never taken for a deletion."""

    template = (
        "The place “{place}” is empty, though this practice was kept there. Nothing was deleted here. "
        "Check that it is the right place; if it is, choose to fill it again."
    )


class ForeignTarget(Trouble):
    """The place holds another practice's record, or something that is none."""

    template = "The place “{place}” holds another practice’s record. Choose another place; nothing was changed."


class NotMember(Trouble):
    """The device was put out."""

    template = "This device is not a member of the practice any more. Its record stays readable; ask an owner."


class NotLetIn(Trouble):
    """The device goes under a name that no owner has let in."""

    template = "This device waits for an owner to let it in. Make a code on it, and type that code on an owner’s device."


class SheetTooOld(Trouble):
    """The recovery sheet could not open the shared record, since it was made before there was any."""

    template = (
        "The recovery sheet of this record is older than sharing and could not bring back what is shared. "
        "Print a new recovery sheet, then set up sharing."
    )


class Continued(Trouble):
    """Files of this device lie there which it has not written: it was copied, or put back from a backup."""

    template = (
        "The place holds newer answers written under this device’s own name: it was put back from a backup, or copied. "
        "They have been taken in, and this device goes on under a new name once an owner lets it in."
    )


class Stopped(Trouble):
    """The person ended the round."""

    template = "The round was stopped. What was received stays; the next round goes on from there."
