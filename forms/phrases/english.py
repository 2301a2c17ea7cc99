"""What a family's plan says in English, and the ready sentences in English."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from forms.days import DAYS, MONTHS
from forms.phrases.catalogue import Catalogue, sentences
from forms.phrases.how_to_check import ENGLISH as CHECKING

__all__ = ["ENGLISH"]

_WORDS: Final[Mapping[str, str]] = MappingProxyType({
    "and": "and",
    "or": "or",
    "yes": "yes",
    "no": "no",
    "day": "{day} {month}",
    "day.year": "{day} {month} {year}",
    "day.weekday": "{weekday} {day}",
    "moment": "{day}, {time}",
    "page": "{paper}: page {page} of {pages}",
    "unsettled": "{words} (not settled)",
    "morning": "morning",
    "night": "night",
    "again": "again",
    "picture.beads": "{times} feeds from morning to night",
    "picture.cups": "{times} small cups",
    "picture.clocks": "{times} times in a day",
    "picture.arrow": "{start}, then {then}",
    "picture.moons.both": "half-moons, left and right filled",
    "picture.moons.left": "half-moons, left filled",
    "picture.moons.right": "half-moons, right filled",
    "picture.moons.neither": "half-moons, neither filled",
    "seal.of": "Seal of {who}",
    "seal.stamp": "Sealed by {who}\n{when}\nThe file shows any later change.",
})  # fmt: skip

_PLAN: Final[Mapping[str, str]] = MappingProxyType({
    "plan.of": "Our plan for {babies}",
    "plan": "Our plan",
    "plan.for": "for {parents}, {when}",
    "plan.unfinished": "Given before the note was finished.",
    "plan.not_yet": "Not written yet.",
    "plan.none": "None.",
    "plan.not_talked": "We have not talked about this yet.",
    "plan.left_open": "You chose to leave this open.",
    "plan.goal": "Your goal",
    "plan.goal_for": "Your goal for {feeding}",
    "plan.well": "What went well",
    "plan.kept": "**We tried and kept:** {words}",
    "plan.weighed": "{name} weighed **{main}** ({other}) at {time}.",
    "plan.tasks.0": "What to do",
    "plan.tasks.1": "Do this one thing",
    "plan.tasks.2": "Do these two things",
    "plan.tasks.3": "Do these three things",
    "plan.often": "How often: {words}.",
    "plan.until": "Until: {words}.",
    "plan.who": "Who: {words}.",
    "plan.whom": "For {names}.",
    "plan.amounts": "How much",
    "plan.amounts.for": "for",
    "plan.amounts.each": "each time",
    "plan.amounts.often": "how often",
    "plan.amounts.day": "in a day and night",
    "plan.amounts.agreed": "agreed with",
    "plan.amounts.missing": "not written yet",
    "plan.times.1": "{times} time",
    "plan.times": "{times} times",
    "plan.milk": "**{names}:** {line}",
    "plan.milk.then": "{first}, then {then}",
    "plan.agreed": "{provider}, {when}",
    "plan.sent": "sent to {provider}",
    "plan.sent.on": "sent to {provider}, {when}",
    "plan.to_be_agreed": "to be agreed",
    "plan.babys_provider": "your baby’s provider",
    "plan.next": "What comes next",
    "plan.next.at": "**{when}:** {what}.",
    "plan.next.unknown": "**{when}:** Not written yet.",
    "plan.next.weight": "Next weight: {words}",
    "plan.talked": "We talked it through:",
    "plan.said": "I said it back",
    "plan.shown": "I showed it",
    "plan.also": "Also noted",
    "plan.seal": "The file, not the print, carries the seal: ask how to check it.",
    "plan.scope": "This plan is about feeding. It does not take the place of your own or your baby’s doctor or "
    "midwife. Medicines, tests and naming an illness are for them. When you are worried, call: the list above says "
    "when.",
    "plan.unreviewed": "This {language} wording is not yet reviewed by a clinician who speaks it.",
})  # fmt: skip

_CALLS: Final[Mapping[str, str]] = MappingProxyType({
    "call.emergency": "Call {number} or go to the emergency department now",
    "call.today": "Call {whom}, today",
    "call.nobody": "If nobody answers, or it gets worse, call **{number}**.",
    "call.seen": "**{name}:** {seen}",
    "call.seen.unnamed": "{seen}",
    "call.babys_own": "your baby’s doctor or clinic",
    "call.parents_own": "your own doctor or midwife",
    "call.provider_for": "{provider} for {names}",
    "call.your_baby": "your baby",
    "call.box": "Call now if…",
    "call.under": "under {limit}",
    "call.fever.young": ", is {hot} or more, or {cold}",
    "call.fever.older": ", is {cold}",
    "call.baby_now": "**Call {number} now** if {names} cannot be woken or will not stay awake, is floppy, is blue, "
    "grey or very pale, breathes hard or stops breathing, has a fit or a stiff neck, has green vomit{fever}, or is "
    "yellow and too sleepy to feed.",
    "call.baby_today": "**Call {whom}, today,** for any of these: {signs}{warm}.",
    "call.warm": "; {limit} or more",
    "call.parent": "**{name}, call {whom}, now** for {signs}.{also}{other}",
    "call.parent.unnamed": "**Call {whom}, now** for {signs}.{also}{other}",
    "call.parent.signs": "{fever} or more, bleeding that soaks a pad in an hour, a bad headache or changed sight, a "
    "hot red leg or {body}, or a wound that opens",
    "call.parent.also": " Also: {signs}.",
    "call.parent.other": " If {name} cannot, call for {whom}.",
    "call.worst": "**Call {number} now** for chest pain, no breath, a fit or fainting, or when nobody answers.",
    "call.harm": " Thoughts of harming yourself or your baby: **{crisis}** or **{number}**.",
    "call.harm.emergency": " Thoughts of harming yourself or your baby: **{number}**.",
    "call.body": "breast",
})  # fmt: skip

# Ready sentences speak of "your baby" and leave out who is a girl or a boy, so that they fit every family.
_READY: Final[Mapping[str, str]] = MappingProxyType({
    "task.cues": "Feed your baby at the first signs of hunger: hands to the mouth, a turning head.",
    "task.wake": "If your baby sleeps for {hours} hours, wake your baby to feed.",
    "task.skin": "Hold your baby skin to skin before each feed.",
    "task.lean": "Lean back, and let your baby come to you chin first.",
    "task.both": "Offer both sides at each feed.",
    "task.squeeze": "Squeeze gently when the swallows slow down.",
    "task.pain": "If it still hurts after you count to {count}, slip a clean finger into the corner of the mouth. Take "
    "your baby off and try again.",
    "task.own_milk": "After {feeds} feeds each day, give {amount} of your own milk.",
    "task.own_then_donor": "After {feeds} feeds each day, give {amount} of your own milk; if there is none, donor "
    "milk.",
    "task.own_then_formula": "After {feeds} feeds each day, give {amount} of your own milk; if there is none, formula.",
    "task.formula": "After {feeds} feeds each day, give {amount} of formula.",
    "task.paced": "Give the bottle slowly, with pauses.",
    "task.express": "Express milk for {minutes} minutes after the feed.",
    "task.write": "Write down each feed and each diaper.",
    "task.rest": "Rest when your baby sleeps, and let others do the rest.",
    "often.at_least": "At least {times} times in a day and a night",
    "often.times": "{times} times",
    "often.times_day": "{times} times a day",
    "often.times_both": "{times} times in a day and a night",
    "often.each_feed": "Each feed",
    "often.each_time": "Each time",
    "often.hours": "Every {hours} hours",
    "often.daily": "Every day",
    "until.visit": "The next visit",
    "until.weight": "The next weight",
    "until.pain": "It stops hurting",
    "until.birth_weight": "Your baby is back to birth weight",
    "who.all": "Everyone who feeds",
    "who.both": "Both parents",
    "care.cool": "Cool cloths for {minutes} minutes after a feed.",
    "care.own_milk": "Let a drop of your own milk dry on the nipple after the feed.",
    "care.pump": "Express {times} times in a day and a night, {minutes} minutes each time.",
    "well.woke": "Your baby woke by itself and asked for milk.",
    "well.swallows": "You heard your baby swallow.",
    "well.latch": "Your baby took a deep latch.",
    "well.comfort": "The feed did not hurt.",
    "next.here": "At the next visit.",
    "next.clinic": "At the clinic.",
    "next.who_day": "{who}, on {day}",
    "hours.from_to": "{first} to {last}",
    "hours.daily": "{first} to {last}, every day",
})  # fmt: skip

ENGLISH: Final = Catalogue("en", "English", "English", sentences(_WORDS, _PLAN, _CALLS, _READY, CHECKING), DAYS, MONTHS)
"""English. It is what a consultant charts in, and she reads each paper before it leaves."""
