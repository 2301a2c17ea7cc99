"""Words in somebody's own account that can mean danger: they ask for a look, and decide nothing.

Only plain English words are known, and no list of words is whole: none found says nothing. A word that stands in "no
fever" counts too, since who wrote it may have meant another day. The list is the trade's and ours, from memory (M).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["HARM", "URGENT", "words_found"]

_NOT = r"(?:can(?:no|['’])?t|cannot|won['’]?t|will not|not|doesn['’]?t|does not|hard to|difficult to)"

URGENT: Mapping[str, re.Pattern[str]] = MappingProxyType({
    words: re.compile(pattern, re.IGNORECASE)
    for words, pattern in (
        ("fever", r"\bfever|\bhigh temperature|\bchills?\b"),
        ("blood", r"\bblood(?! pressure| test| sugar| type| group)|\bbleed|\bclots?\b"),
        ("no wet diapers", r"\bno (?:\w+ )?(?:wet|pee|urine|diaper|napp)|\bdry (?:diaper|napp)|\bnot (?:peed|weed)"),
        ("hard to wake", rf"\b{_NOT} (?:\w+ )?(?:wake|waking|be woken|rouse)|\btoo sleepy|\blethargic"),
        ("yellow", r"\byellow (?:skin|eyes|all|to)|\b(?:is|looks|turned|gone|very|so) yellow|\bjaundice"),
        ("blue or grey", r"\b(?:is|went|goes|gone|turns|turned|looks) (?:blue|gr[ea]y)\b|\bblue lips"),
        ("floppy", r"\bfloppy|\blimp\b"),
        ("breathing", rf"\b(?:stops?|stopped|trouble|hard|short|fast) (?:of )?breath|\b{_NOT} breath"),
        ("green vomit", r"\bgreen (?:vomit|sick|spit)|\b(?:vomit\w*|spit\w*) (?:\w+ )?green"),
        ("fit or fainting", r"\bseizure|\bconvuls|\bhaving fits\b|\b(?:had|has) a fit\b|\bfaint(?:ed|ing)?\b"),
        ("chest pain", r"\bchest (?:pain|hurts)|\bpain in (?:my|her|his|the) chest"),
    )
})  # fmt: skip
"""How each kind of sign is named, and the words it is known by."""

HARM: Mapping[str, re.Pattern[str]] = MappingProxyType({
    "harm": re.compile(
        r"\bsuicid|\bharm(?:ing)? (?:my|her|him|them|the|our)|\bhurt(?:ing)? (?:myself|my baby|the baby)"
        r"|\bend (?:it all|(?:my|her|his|their) life)\b|\bkill (?:my|her|him|them)|\bwant to die",
        re.IGNORECASE,
    ),
})  # fmt: skip
"""The same for thoughts of harm, which are private."""


def words_found(told: str, among: Mapping[str, re.Pattern[str]]) -> tuple[str, ...]:
    """Which of these signs a text names, in the order of the list."""
    return tuple(words for words, pattern in among.items() if pattern.search(told))
