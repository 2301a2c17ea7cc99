"""Who is who: the family's home, each parent, each baby, and each person's own providers.

The id of a Family entry is the family's id; the id of a parent's or a baby's entry is that person's id. Names stay as
written in whatever script; `name_as_printed` serves only papers whose fonts lack a letter. A baby's tag colour follows
from its shape, so that no meaning hangs on colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from forms.answers import Given, Moment, Quantity
from forms.ask import (
    Need,
    NotCoded,
    When,
    choice,
    codes,
    count,
    day,
    line,
    many,
    moment,
    quantity,
    ref,
    refs,
    text,
    yes_no,
)
from forms.form import About, Form, declared
from forms.intents import BILLED, EVERY_PAPER, FOR_PROVIDERS, IN_HOUSE, ON_EVERY_PAPER, PRIVATE, TO_PROVIDERS, loinc

__all__ = ["CareTeam", "Family", "InfantIdentity", "ParentIdentity"]

HOUSE_BOUND = "house bound, no source"
PATIENT = NotCoded("stands in the person's own record of a hand-over, which has a place for it")

SIGNAL = codes(good="Good", weak="Weak", none="None")
UNITS_SPOKEN = codes(metric="Grams and millilitres", us="Pounds and ounces")
PRONOUNS = codes(she="She, her", he="He, him", they="They, them", other="Other")
BODY_WORDS = codes(breast="Breast", chest="Chest", other="Another word")
FEEDING_WORDS = codes(
    breastfeeding="Breastfeeding",
    chestfeeding="Chestfeeding",
    bodyfeeding="Bodyfeeding",
    nursing="Nursing",
    other="Another word",
)
MILK_WORDS = codes(
    breast_milk="Breast milk", chest_milk="Chest milk", my_milk="My milk", milk="Milk", other="Another word"
)
INTERPRETER_NEED = codes(none="No interpreter", trained="A trained interpreter", chosen_adult="An adult she chose")
INTERPRETER_MODE = codes(in_person="In the room", video="By video", phone="By phone")
ROLES = codes(
    birth_parent="Gave birth",
    non_birth_parent="Parent who did not give birth",
    adoptive_parent="Adoptive parent",
    foster_parent="Foster parent",
    surrogate="Gestational carrier",
    co_feeder="Also feeds at the breast or chest",
    grandparent="Grandparent",
    other="Other carer",
)
TAG_SHAPES = codes(circle="Circle", square="Square", triangle="Triangle", diamond="Diamond")
SEX = codes(f="Female", m="Male", not_set="Not set")


@declared("family", "Family", About.FAMILY, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Family(Form):
    """One home and what a visit to it needs."""

    family_name: Given[str] = line("Family name", need=Need.MUST, **ON_EVERY_PAPER)
    address: Given[str] = text("Address", need=Need.MUST, paper=BILLED, code=PATIENT)
    second_address: Given[str] = text("Second home, and who lives there", **IN_HOUSE)
    access: Given[str] = text("Getting in: parking, bell, stairs", **IN_HOUSE)
    pets: Given[str] = line("Pets", **IN_HOUSE)
    signal: Given[str] = choice("Phone signal at the home", SIGNAL, **IN_HOUSE)
    units_spoken: Given[str] = choice(
        "Units the family uses",
        UNITS_SPOKEN,
        help="Amounts on the family's papers come first in these, the other unit small beside them.",
        **IN_HOUSE,
    )
    visit_safety: Given[str] = text("Safety of the visitor in this home", **PRIVATE)


@declared("parent", "Parent", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ParentIdentity(Form):
    """A parent or other carer: names, words, ways to reach them, and their role toward each baby."""

    full_name: Given[str] = line("Full name", need=Need.MUST, paper=EVERY_PAPER, code=PATIENT)
    called_name: Given[str] = line("Name to use", paper=EVERY_PAPER, code=PATIENT)
    name_as_printed: Given[str] = line(
        "Name as printed",
        help="Only if a paper's letters cannot show the name as written. The record keeps the name as written.",
        paper=EVERY_PAPER,
        code=PATIENT,
    )
    pronouns: Given[str] = choice("Pronouns", PRONOUNS, **ON_EVERY_PAPER)
    pronouns_own: Given[str] = line("Pronouns, in own words", when=When("pronouns", ("other",)), **ON_EVERY_PAPER)
    family_title: Given[str] = line("What the baby will call this person", **ON_EVERY_PAPER)
    body_word: Given[str] = choice("Own word for the body", BODY_WORDS, **ON_EVERY_PAPER)
    body_word_own: Given[str] = line("That word for the body", when=When("body_word", ("other",)), **ON_EVERY_PAPER)
    feeding_word: Given[str] = choice("Own word for feeding", FEEDING_WORDS, **ON_EVERY_PAPER)
    feeding_word_own: Given[str] = line(
        "That word for feeding", when=When("feeding_word", ("other",)), **ON_EVERY_PAPER
    )
    milk_word: Given[str] = choice("Own word for milk", MILK_WORDS, **ON_EVERY_PAPER)
    milk_word_own: Given[str] = line("That word for milk", when=When("milk_word", ("other",)), **ON_EVERY_PAPER)
    words_in_letters: Given[bool] = yes_no(
        "These words also in letters to providers",
        help="Only if the family asks; otherwise a letter keeps the headings its reader knows.",
        **FOR_PROVIDERS,
    )
    born_day: Given[date] = day("Birth date", need=Need.MUST, paper=BILLED, code=PATIENT)
    phone: Given[str] = line("Phone", need=Need.MUST, paper=TO_PROVIDERS, code=PATIENT)
    safe_to_message: Given[bool] = yes_no(
        "Safe to leave a message",
        need=Need.MUST,
        help="No closes text and voice mail to this person until it is changed.",
        **IN_HOUSE,
    )
    contact_rules: Given[str] = text(
        "How to reach this person safely", need=Need.WHEN_OPEN, when=When("safe_to_message", (False,)), **PRIVATE
    )
    language: Given[str] = line("Language", need=Need.MUST, paper=TO_PROVIDERS, code=PATIENT)
    interpreter_need: Given[str] = choice(
        "Interpreter",
        INTERPRETER_NEED,
        need=Need.MUST,
        help="A trained interpreter is preferred; a relative only if the parent chooses it, and never a child.",
        **FOR_PROVIDERS,
    )
    interpreter_name: Given[str] = line(
        "Interpreter's name or number", when=When("interpreter_need", ("trained", "chosen_adult")), **IN_HOUSE
    )
    interpreter_mode: Given[str] = choice(
        "Interpreter is",
        INTERPRETER_MODE,
        when=When("interpreter_need", ("trained", "chosen_adult")),
        **IN_HOUSE,
    )
    roles: Given[tuple[str, ...]] = many("Role toward the babies", ROLES, need=Need.MUST, **FOR_PROVIDERS)
    birth_parent_of: Given[tuple[str, ...]] = refs(
        "Gave birth to",
        ("infant",),
        when=When("roles", ("birth_parent",)),
        help="Here and below: leave empty when it holds for every baby of this family.",
        **FOR_PROVIDERS,
    )
    non_birth_parent_of: Given[tuple[str, ...]] = refs(
        "Parent, without having given birth, of",
        ("infant",),
        when=When("roles", ("non_birth_parent",)),
        **FOR_PROVIDERS,
    )
    adoptive_parent_of: Given[tuple[str, ...]] = refs(
        "Adoptive parent of", ("infant",), when=When("roles", ("adoptive_parent",)), **FOR_PROVIDERS
    )
    foster_parent_of: Given[tuple[str, ...]] = refs(
        "Foster parent of", ("infant",), when=When("roles", ("foster_parent",)), **FOR_PROVIDERS
    )
    surrogate_of: Given[tuple[str, ...]] = refs(
        "Gestational carrier of", ("infant",), when=When("roles", ("surrogate",)), **FOR_PROVIDERS
    )
    co_feeder_of: Given[tuple[str, ...]] = refs(
        "Also feeds", ("infant",), when=When("roles", ("co_feeder",)), **FOR_PROVIDERS
    )
    role_own: Given[str] = line(
        "The role, in own words", need=Need.WHEN_OPEN, when=When("roles", ("other",)), **FOR_PROVIDERS
    )
    may_consent: Given[bool] = yes_no("May consent to the babies' care", **FOR_PROVIDERS)


@declared("infant", "Baby", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class InfantIdentity(Form):
    """A baby: names, tag, birth and size at birth. Every age and every percent from birth is counted from here."""

    legal_name: Given[str] = line("Legal name", need=Need.MUST, paper=EVERY_PAPER, code=PATIENT)
    called_name: Given[str] = line("Called name", need=Need.MUST, paper=EVERY_PAPER, code=PATIENT)
    name_as_printed: Given[str] = line(
        "Name as printed",
        help="Only if a paper's letters cannot show the name as written. The record keeps the name as written.",
        paper=EVERY_PAPER,
        code=PATIENT,
    )
    earlier_names: Given[str] = line("Earlier names", paper=TO_PROVIDERS, code=PATIENT)
    tag_shape: Given[str] = choice(
        "Tag", TAG_SHAPES, need=Need.MUST, help="The tag's colour follows its shape.", **ON_EVERY_PAPER
    )
    sex: Given[str] = choice(
        "Sex for the growth table",
        SEX,
        need=Need.MUST,
        help="Not set: no growth score is worked out.",
        paper=TO_PROVIDERS,
        code=PATIENT,
    )
    plurality: Given[int] = count(
        "Babies born together", low=1, high=8, need=Need.MUST, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    birth_order: Given[int] = count(
        "Birth order", low=1, high=8, need=Need.MUST, source=HOUSE_BOUND, paper=TO_PROVIDERS, code=PATIENT
    )
    born: Given[Moment] = moment(
        "Born",
        need=Need.MUST,
        help="Without a time of day, give the birth day below; ages then show in days only.",
        paper=EVERY_PAPER,
        code=PATIENT,
    )
    born_day: Given[date] = day("Birth day, if no time is known", paper=EVERY_PAPER, code=PATIENT)
    birth_place: Given[str] = line("Place of birth", need=Need.MUST, **FOR_PROVIDERS)
    gestation_weeks: Given[int] = count(
        "Gestation, full weeks",
        low=20,
        high=45,
        need=Need.MUST,
        source=HOUSE_BOUND,
        paper=TO_PROVIDERS,
        code=loinc("11884-4"),
    )
    gestation_days: Given[int] = count(
        "Gestation, days over",
        low=0,
        high=6,
        need=Need.MUST,
        source="a week has seven days",
        paper=TO_PROVIDERS,
        code=loinc("11884-4"),
    )
    birth_weight: Given[Quantity] = quantity(
        "Birth weight",
        ("g", "kg", "lb_oz"),
        low=300,
        high=25_000,
        need=Need.MUST,
        source=HOUSE_BOUND,
        paper=TO_PROVIDERS,
        code=loinc("8339-4"),
    )
    birth_length: Given[Quantity] = quantity(
        "Birth length",
        ("cm", "mm", "in"),
        low=200,
        high=700,
        source=HOUSE_BOUND,
        paper=TO_PROVIDERS,
        code=loinc("89269-5"),
    )
    birth_head: Given[Quantity] = quantity(
        "Head at birth",
        ("cm", "mm", "in"),
        low=150,
        high=500,
        source=HOUSE_BOUND,
        paper=TO_PROVIDERS,
        code=loinc("9843-4"),
    )


@declared("care_team", "Providers", About.PERSON)
@dataclass(frozen=True, slots=True, kw_only=True)
class CareTeam(Form):
    """One person's own providers, from the practice's address book. What may be sent to whom stands in a Release."""

    primary_provider: Given[str] = ref(
        "Primary provider",
        ("provider",),
        need=Need.MUST,
        help="None known: say so, and finding one becomes a task.",
        **ON_EVERY_PAPER,
    )
    next_visit_day: Given[date] = day("Next visit with that provider", need=Need.MUST, **FOR_PROVIDERS)
    birth_provider: Given[str] = ref("Midwife or obstetric provider", ("provider",), **ON_EVERY_PAPER)
    other_providers: Given[tuple[str, ...]] = refs("Other providers", ("provider",), need=Need.MUST, **FOR_PROVIDERS)
    releases_talked_over: Given[bool] = yes_no(
        "Talked over what may be sent to each",
        need=Need.MUST,
        help="Without a release, a report stays in house.",
        **IN_HOUSE,
    )
