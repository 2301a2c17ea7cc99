"""What stops a round, each in one sentence that says what to do; nothing is changed by any of them."""

from __future__ import annotations

from forms.trouble import Trouble

__all__ = [
    "AlreadyShared", "AnswerChanged", "CodeMistyped", "CodeOld", "CodeUsed", "Continued", "EmptyTarget",
    "ForeignTarget", "NewerActs", "NoRequest", "NotFounded", "NotLetIn", "NotMember", "NotOwner", "NotThisSheet",
    "OlderRecord", "RequestChanged", "SeveralWroteIt", "SheetReplaced", "SheetTooOld", "WasPutOut",
]  # fmt: skip


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

    template = (
        "This device waits for an owner to let it in. Make a code on it, and type that code on an owner’s device."
    )


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


# --- joining and coming back ----------------------------------------------------------------------------------------


class AlreadyShared(Trouble):
    """The store belongs to a practice, and cannot join another."""

    template = "This record is shared with a practice already. Use a new, empty record to join another one."


class SeveralWroteIt(Trouble):
    """An imported record that several devices wrote would be shared without what the others wrote."""

    template = (
        "Several devices wrote this imported record, and it cannot be shared from here without losing what the others "
        "wrote. Let a new device join the practice’s shared record, or come back to it with the recovery sheet."
    )


class NotOwner(Trouble):
    """Only an owner's device lets others in."""

    template = "Only an owner’s device can let others in. Type the code on an owner’s device."


class CodeMistyped(Trouble):
    """The check of the typed code is wrong."""

    template = "A letter or digit of the code is wrong, missing or too many. Compare it with the other screen."


class CodeOld(Trouble):
    """More than ten minutes lie between the two, or one clock is wrong."""

    template = (
        "The code is older than ten minutes, or the clocks of the two devices differ by that much. "
        "Check both clocks and make a new code; nobody was let in by this one."
    )


class CodeUsed(Trouble):
    """A code is for one use."""

    template = "This code was used or turned away before. Make a new code on the new device."


class NoRequest(Trouble):
    """No request of this code lies there."""

    template = (
        "No device asks with this code at this place. Check that both devices use the same place, "
        "and that the new device shows the code now."
    )


class RequestChanged(Trouble):
    """The request is not what the holder of the code wrote."""

    template = "What the new device asked was changed on the way. Nobody was let in; make a new code and try again."


class AnswerChanged(Trouble):
    """The greeting or the answer is not what an owner wrote."""

    template = "What the owner’s device answered was changed on the way. Nothing was taken in; make a new code."


class OlderRecord(Trouble):
    """The target shows fewer acts than the owner knows."""

    template = (
        "The place shows an older list of who belongs than the owner’s device has. Nothing was taken in. "
        "Wait until the place has caught up, then try again."
    )


class WasPutOut(Trouble):
    """A device that was put out does not come back under its old name."""

    template = "This device was put out of the practice. Set up a new, empty record on it and join with that."


class NotThisSheet(Trouble):
    """No practice that this sheet vouches for lies there."""

    template = (
        "This recovery sheet opens no practice at the place “{place}”. Check the place, and take the newest sheet of "
        "the practice."
    )


class NewerActs(Trouble):
    """Who belongs is told in words that this version does not know."""

    template = (
        "A device of this practice uses a newer version of Hearthside. Update the program on this one first; nothing "
        "was changed."
    )


class SheetReplaced(Trouble):
    """The sheet is one of this practice's, and another took its place."""

    template = (
        "This recovery sheet was replaced on {day} and lets no device in any more. Take the sheet that was made then, "
        "or a newer one; nothing was changed."
    )
