"""What each invented family's providers are told of it, in the consultant's own words."""

from __future__ import annotations

from demo_db.finch import Arlo
from demo_db.handing_on import Asked, HandedOn, Letter, Report
from demo_db.hesper import Linnet
from demo_db.lindqvist import Bram
from demo_db.pellworth import Tobin
from demo_db.penaloza import Andres
from demo_db.practice import AddressBook
from demo_db.sorrelby import Fenna
from demo_db.thornquist import Twins
from demo_db.vantreece import Oswin

__all__ = ["of_andres", "of_arlo", "of_bram", "of_fenna", "of_linnet", "of_oswin", "of_tobin", "of_twins"]


def of_oswin(people: Oswin, book: AddressBook) -> HandedOn:
    """The last talk: nothing is asked."""
    report = Report(
        people.oswin, book.paediatrician, "Care here ends; he nurses six times a day beside his first solid food.",
        "Weight that falls off his line, or nursing that stops of itself.",
    )  # fmt: skip
    return HandedOn("Maude Vantreece", "2026-02-24 10:32", (report,))


def of_linnet(people: Linnet, book: AddressBook) -> HandedOn:
    """Two who feed: the weight is the provider's to watch."""
    report = Report(
        people.linnet, book.paediatrician,
        "Two parents feed Linnet at the chest and the breast; the milk of one of them was induced.",
        "A gain below what is hoped for at the weight of 12 March.",
        Asked("To weigh Linnet bare at the visit already booked, and to tell us the figure.", "2026-03-12"),
    )  # fmt: skip
    return HandedOn("Rune Hesper", "2026-02-26 14:46", (report,))


def of_tobin(people: Tobin, book: AddressBook) -> HandedOn:
    """A supplement that began on the ward, and a crack that may need another pair of eyes."""
    baby = Report(
        people.tobin, book.paediatrician,
        "Own milk by spoon was begun on the ward three days ago; he takes more at the breast now.",
        "No further gain by Tuesday, or fewer than six wet diapers in a day.",
        Asked("To agree that the spoon ends once he is back at his birth weight.", "2026-03-04"),
    )  # fmt: skip
    mother = Report(
        people.delphine, book.family_doctor, "A crack of 3 mm on the right nipple, and very full breasts on day 5.",
        "Fever, a red sore area, or a crack no smaller on Tuesday.",
        Asked("To see her the same week if the crack is no smaller on Tuesday.", "2026-03-06"),
    )  # fmt: skip
    letter = Letter(people.delphine, book.family_doctor, {
        "urgency": "this_week", "reply_by": "2026-03-06",
        "question": "Would you please look at the right nipple and say whether it needs more than we have done?",
        "opening_reason": "A crack on the right nipple since the third night, in a full breast.",
        "associated_symptoms": "Pain at latch, 5 at its worst; no fever told or measured.",
        "collateral_history": "Her partner counts ten feeds in a day and a night.",
        "psychosocial": "First baby; her partner is at home this week.",
        "management_so_far": "Softening by hand first, a deeper hold: pain 4 to 2 within the feed.",
        "expected": "A look at the skin, and a note of what was found.", "attachments": ("chest", "feed"),
    })  # fmt: skip
    return HandedOn(
        "Delphine Pellworth", "2026-02-27 11:04", (baby, mother), (letter,), own=(people.delphine,),
        billed=people.tobin,
    )  # fmt: skip


def of_fenna(people: Fenna, book: AddressBook) -> HandedOn:
    """All milk by pump, with one bottle of formula: the amounts are the provider's."""
    report = Report(
        people.fenna, book.paediatrician,
        "All her milk comes by bottle: her mother's, pumped, and one bottle of formula a day.",
        "A gain below what is hoped for, or less than 400 mL pumped in a day.",
        Asked("To say by the weight of 9 March whether the one bottle of formula may be left out.", "2026-03-09"),
    )  # fmt: skip
    return HandedOn("Ingrith Sorrelby", "2026-02-27 15:22", (report,))


def of_andres(people: Andres, book: AddressBook) -> HandedOn:
    """Not back at birth weight on day 8; the amount was sent."""
    report = Report(
        people.andres, book.paediatrician,
        "He gains and is not yet back at his birth weight on day 8; 30 mL of her own milk four times a day was added.",
        "No gain by Tuesday, fewer than six wet diapers, or a baby who is hard to wake.",
        Asked("To confirm or change the amount of milk.", "2026-03-03"),
    )  # fmt: skip
    return HandedOn("Lucía Peñaloza-Ruiz", "2026-02-28 15:36", (report,))


def of_twins(people: Twins, book: AddressBook) -> HandedOn:
    """Each twin's report is hers alone."""
    ida = Report(
        people.ida, book.paediatrician, "She gains as hoped at her corrected age, with 30 mL of own milk four times a day.",
        "A gain below what is hoped for on Friday.",
        Asked("To look at how she holds her head: she prefers her left, and turns both ways when led.", "2026-03-09"),
    )  # fmt: skip
    juno = Report(
        people.juno, book.paediatrician,
        "She gains as hoped at her corrected age, with 30 mL of own milk four times a day.",
        "A gain below what is hoped for on Friday.",
    )  # fmt: skip
    return HandedOn("Mara Thornquist", "2026-03-02 11:58", (ida, juno))


def of_bram(people: Bram, book: AddressBook) -> HandedOn:
    """Not back at birth weight on day 12; a referral to ear, nose and throat stands beside it."""
    report = Report(
        people.bram, book.paediatrician,
        "Day 12 and not yet back at his birth weight; limited tongue movement, with pain for his mother.",
        "No gain by Thursday, fewer than six wet diapers, or a baby who is hard to wake.",
        Asked("To agree to 20 mL of her own milk by cup after six feeds a day until Thursday.", "2026-03-03"),
    )  # fmt: skip
    return HandedOn("Signe Lindqvist-Osei", "2026-03-02 14:41", (report,))


def of_arlo(people: Arlo, book: AddressBook) -> HandedOn:
    """The report that follows the call at once; the note is not finished."""
    report = Report(
        people.arlo, book.paediatrician,
        "Five days old, hard to wake, yellow to the legs, with two wet diapers and no stool in a day.",
        "Whatever is found where he is seen next comes before any feeding plan.",
        Asked("To say now where he is to be seen: the call is being made.", "2026-03-02"),
    )  # fmt: skip
    return HandedOn("Kemi Finch-Adeyemi", "2026-03-02 16:12", (report,))
