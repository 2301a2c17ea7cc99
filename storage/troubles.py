"""Every way in which the store can be stopped by the world, each with its own sentence that says what to do."""

from __future__ import annotations

from forms.trouble import Trouble

__all__ = [
    "AlreadyOpen", "AttachmentMissing", "CannotBeKept", "ConflictAtSigning", "DamagedDatabase", "DamagedSlot",
    "DiskFull", "DiskTrouble", "FolderTaken", "LostAnswers", "LostJournal", "NewerSchema", "NoRights", "NotAStore",
    "NotEnoughMemory", "NothingToSign", "PassphraseRefused", "RecoveryMistyped", "SheetShared", "SignsNot",
    "StoreClosed", "StudentSignsNot", "UnprovenRecord", "VisitSigned", "WritesNot", "WrongPassphrase",
    "WrongRecoverySheet",
]  # fmt: skip


class WrongPassphrase(Trouble):
    """The slot file is whole, and the passphrase does not open it."""

    template = "That passphrase does not open this store. Type it again; nothing was changed."


class WrongRecoverySheet(Trouble):
    """The words are typed without a slip, and belong to another store or an older sheet."""

    template = "That recovery sheet belongs to another store or has been replaced. Look for the newest sheet."


class RecoveryMistyped(Trouble):
    """The check at the end of the recovery words does not fit."""

    template = "The recovery words do not fit together. Compare each group with the sheet and type them again."


class PassphraseRefused(Trouble):
    """A passphrase that is too short or too easily guessed."""

    template = "{why}"


class DamagedSlot(Trouble):
    """A key slot file is torn, changed or missing, or asks for work outside the allowed bounds."""

    template = "The key file “{file}” is damaged. Put it back from a backup, or unlock with {other}."


class DamagedDatabase(Trouble):
    """The database does not read as one, or a page of it fails its check."""

    template = "The record in this folder is damaged. Copy the folder to another disk as it is, and restore a backup."


class NewerSchema(Trouble):
    """The store was written by a newer version of the program."""

    template = "This store was written by a newer version of Hearthside. Update the program; nothing was changed."


class AlreadyOpen(Trouble):
    """Another window or process holds the store."""

    template = "This store is already open in another window. Use that window, or close it first."


class NoRights(Trouble):
    """The folder or the disk may not be written to."""

    template = (
        "The folder “{folder}” cannot be written to. Choose another or change its permissions; nothing was changed."
    )


class DiskFull(Trouble):
    """No room is left on the disk of the store."""

    template = "The disk is full. Make room on it; what you typed stays here and is saved as soon as there is room."


class DiskTrouble(Trouble):
    """The disk refused to read or write for another reason."""

    template = "The disk did not read or write as asked. Check that it is connected; what you typed stays here."


class NotAStore(Trouble):
    """The path holds something, and it is no store."""

    template = "“{path}” is not a Hearthside store. Choose the folder that holds the store; nothing was changed."


class FolderTaken(Trouble):
    """A new store was asked for in a folder that already holds something."""

    template = "“{folder}” already holds something. Choose an empty folder for a new store; nothing was changed."


class NotEnoughMemory(Trouble):
    """The key derivation needs more memory than the machine gives."""

    template = "This machine has too little free memory to unlock the store. Close other programs and try again."


class LostAnswers(Trouble):
    """The log is shorter than its proof says, or differs from it. The store opens with what is left, and says so."""

    template = (
        "{count} answers since {since} are damaged; a copy is kept in “{copy}”. "
        "Compare the last entries with your notes and write down what is missing."
    )


class LostJournal(Trouble):
    """No answer is missing, and the end of the audit journal, or what was filed with it, is."""

    template = "{count} lines of the audit journal since {since} are damaged; a copy is kept in “{copy}”."


class UnprovenRecord(Trouble):
    """The file that proves the log complete is gone or damaged; the log may still be whole."""

    template = (
        "The file that proves this record complete is damaged, so answers may be missing; a copy is kept in “{copy}”. "
        "Compare the last entries with your notes."
    )


class VisitSigned(Trouble):
    """A write to something that a signature has frozen."""

    template = "This visit is signed and stays as it was signed. Add an addendum instead."


class ConflictAtSigning(Trouble):
    """Two values stand for an answer of the visit that is to be signed."""

    template = "Two values stand for “{label}”. Settle which one holds, then sign."


class SignsNot(Trouble):
    """The role of this device does not sign."""

    template = "The role of this device is {role}, which does not sign. The visit waits for the device of {who}."


class StudentSignsNot(Trouble):
    """Whoever charts on this device is a student."""

    template = (
        "Who charts on this device is written down as a student, and a student does not sign. The visit waits for the "
        "device of the consultant."
    )


class WritesNot(Trouble):
    """The role of this device does not write this."""

    template = (
        "The role of this device is {role}, which does not write “{what}”. "
        "Write it on the device of {who}; nothing was changed."
    )


class StillChecked(Trouble):
    """The record came with a snapshot, and the files that prove it are not all here."""

    template = "The record on this device is still being checked. Sync until nothing is left to check, then sign."


class NothingToSign(Trouble):
    """The visit holds no entry."""

    template = "This visit holds nothing yet, so there is nothing to sign."


class CannotBeKept(Trouble):
    """A text holds half of a character, as a broken paste does, and cannot be written down without changing it."""

    template = "This text holds a broken character that cannot be kept. Delete the last pasted part and type it again."


class AttachmentMissing(Trouble):
    """An attachment is asked for that the store does not hold."""

    template = "This attachment is not in the store on this device."


class StoreClosed(Trouble):
    """The store was locked meanwhile."""

    template = "The store is locked. Unlock it; what you typed stays here."


class SheetShared(Trouble):
    """The sheet also opens what the practice shares, which a new one would not."""

    template = (
        "This recovery sheet also brings back what your devices share. Replace it on the device of an owner; "
        "nothing was changed here."
    )
