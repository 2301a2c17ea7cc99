"""What a family's plan says in Spanish, and the ready sentences in Spanish. None of it has been reviewed yet.

It speaks to the parents as "usted", and of a baby without saying whether it is a girl or a boy.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from forms.phrases.catalogue import Catalogue, sentences
from forms.phrases.how_to_check import SPANISH as CHECKING
from forms.phrases.spanish_answers import ANSWERS

__all__ = ["SPANISH"]

_DAYS: Final = ("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo")
_MONTHS: Final = (
    "enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre",
    "diciembre",
)  # fmt: skip

_WORDS: Final[Mapping[str, str]] = MappingProxyType({
    "and": "y",
    "or": "o",
    "yes": "sí",
    "no": "no",
    "day": "{day} de {month}",
    "day.year": "{day} de {month} de {year}",
    "day.weekday": "{weekday} {day}",
    "moment": "{day}, {time}",
    "page": "{paper}: página {page} de {pages}",
    "unsettled": "{words} (sin aclarar)",
    "morning": "mañana",
    "night": "noche",
    "again": "otra vez",
    "picture.beads": "{times} tomas de la mañana a la noche",
    "picture.cups": "{times} vasitos",
    "picture.clocks": "{times} veces al día",
    "picture.arrow": "{start}, luego {then}",
    "picture.moons.both": "medias lunas, izquierda y derecha llenas",
    "picture.moons.left": "medias lunas, izquierda llena",
    "picture.moons.right": "medias lunas, derecha llena",
    "picture.moons.neither": "medias lunas, ninguna llena",
    "seal.of": "Sello de {who}",
    "seal.stamp": "Sellado por {who}\n{when}\nEl archivo muestra cualquier cambio posterior.",
})  # fmt: skip

_PLAN: Final[Mapping[str, str]] = MappingProxyType({
    "plan.of": "Nuestro plan para {babies}",
    "plan": "Nuestro plan",
    "plan.for": "para {parents}, {when}",
    "plan.unfinished": "Entregado antes de terminar la nota.",
    "plan.not_yet": "Aún no está escrito.",
    "plan.none": "Nada.",
    "plan.not_talked": "Todavía no hemos hablado de esto.",
    "plan.left_open": "Usted prefirió dejarlo abierto.",
    "plan.goal": "Su meta",
    "plan.goal_for": "Su meta para {feeding}",
    "plan.well": "Lo que salió bien",
    "plan.kept": "**Lo que probamos y sirvió:** {words}",
    "plan.weighed": "{name} pesó **{main}** ({other}) a las {time}.",
    "plan.tasks.0": "Qué hacer",
    "plan.tasks.1": "Haga esto",
    "plan.tasks.2": "Haga estas dos cosas",
    "plan.tasks.3": "Haga estas tres cosas",
    "plan.often": "Cada cuánto: {words}.",
    "plan.until": "Hasta: {words}.",
    "plan.who": "Quién: {words}.",
    "plan.whom": "Para {names}.",
    "plan.amounts": "Cuánto",
    "plan.amounts.for": "para",
    "plan.amounts.each": "cada vez",
    "plan.amounts.often": "cuántas",
    "plan.amounts.day": "en día y noche",
    "plan.amounts.agreed": "acordado con",
    "plan.amounts.missing": "aún no está escrito",
    "plan.times.1": "{times} vez",
    "plan.times": "{times} veces",
    "plan.milk": "**{names}:** {line}",
    "plan.milk.then": "{first}, luego {then}",
    "plan.agreed": "{provider}, {when}",
    "plan.sent": "enviado a {provider}",
    "plan.sent.on": "enviado a {provider}, {when}",
    "plan.to_be_agreed": "por acordar",
    "plan.babys_provider": "quien atiende a su bebé",
    "plan.next": "Lo que sigue",
    "plan.next.at": "**{when}:** {what}.",
    "plan.next.unknown": "**{when}:** Aún no está escrito.",
    "plan.next.weight": "Próximo peso: {words}",
    "plan.talked": "Lo hablamos:",
    "plan.said": "Lo repetí con mis palabras",
    "plan.shown": "Lo mostré",
    "plan.also": "También anotado",
    "plan.seal": "El sello está en el archivo, no en la hoja impresa: pregunte cómo comprobarlo.",
    "plan.scope": "Este plan trata de la alimentación. No reemplaza a su médico o partera ni al médico de su bebé. "
    "Medicinas, pruebas y decir qué enfermedad es les toca a ellos. Si algo le preocupa, llame: la lista de arriba "
    "dice cuándo.",
    "plan.student.draft": "Borrador, todavía sin la segunda firma.",
    "plan.student.part": "Una parte de esta visita ({parts}) la anotó {who}.",
    "plan.student.all": "Esta visita la anotó {who}.",
    "plan.student.with": "{name}, estudiante que aprende con {supervisor}",
    "plan.student.alone": "{name}, estudiante; no está anotado quién supervisa",
    "plan.student.signed": "{name} lo revisó y lo firmó.",
    "plan.student.arrive": "el comienzo",
    "plan.student.story": "su historia",
    "plan.student.weigh": "los pesos",
    "plan.student.feed": "la toma",
    "plan.student.look": "lo que se vio",
    "plan.student.plan": "el plan",
    "plan.student.leave": "el final",
    "plan.unreviewed": "Este texto en español aún no lo ha revisado un profesional de salud que lo hable.",
})  # fmt: skip

_CALLS: Final[Mapping[str, str]] = MappingProxyType({
    "call.emergency": "Llame al {number} o vaya a la sala de emergencias ahora",
    "call.today": "Llame hoy a {whom}",
    "call.nobody": "Si nadie contesta, o si empeora, llame al **{number}**.",
    "call.seen": "Dígalo así, en inglés: **{name}:** {seen}",
    "call.seen.unnamed": "Dígalo así, en inglés: {seen}",
    "call.babys_own": "la clínica o pediatra de su bebé",
    "call.parents_own": "su clínica o partera",
    "call.provider_for": "{provider} para {names}",
    "call.your_baby": "su bebé",
    "call.box": "Llame ahora si…",
    "call.under": "menos de {limit}",
    "call.fever.young": ", {hot} o más, o {cold}",
    "call.fever.older": ", o {cold}",
    "call.baby_now": "**Llame al {number} ahora** si {names} no se despierta o se vuelve a dormir, no tiene fuerza, "
    "respira con esfuerzo o deja de respirar, o si tiene piel azul, gris o muy pálida, convulsiones, cuello rígido, "
    "vómito verde{fever}, o piel amarilla con tanto sueño que no come.",
    "call.baby_today": "**Llame hoy a {whom}** por: {signs}{warm}.",
    "call.warm": "; {limit} o más",
    "call.parent": "**{name}, llame ahora a {whom}** por {signs}.{also}{other}",
    "call.parent.unnamed": "**Llame ahora a {whom}** por {signs}.{also}{other}",
    "call.parent.signs": "{fever} o más, sangrado que empapa una toalla en una hora, dolor de cabeza fuerte o cambios "
    "en la vista, pierna o {body} rojo y caliente, o una herida que se abre",
    "call.parent.also": " También: {signs}.",
    "call.parent.other": " Si {name} no puede, que llame otra persona.",
    "call.worst": "**Llame al {number} ahora** por dolor en el pecho, falta de aire, convulsiones o desmayo, o si "
    "nadie contesta.",
    "call.harm": " Si piensa en hacerse daño o hacerle daño a su bebé: **{crisis}** o **{number}**.",
    "call.harm.emergency": " Si piensa en hacerse daño o hacerle daño a su bebé: **{number}**.",
    "call.body": "pecho",
})  # fmt: skip

_READY: Final[Mapping[str, str]] = MappingProxyType({
    "task.cues": "Alimente a su bebé con las primeras señales de hambre: manos a la boca, cabeza que gira.",
    "task.wake": "Si su bebé duerme {hours} horas, despierte a su bebé para comer.",
    "task.skin": "Tenga a su bebé piel con piel antes de cada toma.",
    "task.lean": "Recuéstese hacia atrás y deje que su bebé se acerque con la barbilla primero.",
    "task.both": "Ofrezca los dos lados en cada toma.",
    "task.squeeze": "Apriete suavemente cuando trague más despacio.",
    "task.pain": "Si todavía duele después de contar hasta {count}, ponga un dedo limpio en la comisura de la boca. "
    "Retire a su bebé e intente otra vez.",
    "task.own_milk": "Después de {feeds} tomas cada día, dé {amount} de su propia leche.",
    "task.own_then_donor": "Después de {feeds} tomas cada día, dé {amount} de su propia leche; si no hay, leche de "
    "donante.",
    "task.own_then_formula": "Después de {feeds} tomas cada día, dé {amount} de su propia leche; si no hay, fórmula.",
    "task.formula": "Después de {feeds} tomas cada día, dé {amount} de fórmula.",
    "task.paced": "Dé el biberón despacio, con pausas.",
    "task.express": "Sáquese leche durante {minutes} minutos después de la toma.",
    "task.write": "Anote cada toma y cada pañal.",
    "task.rest": "Descanse cuando su bebé duerma, y deje lo demás a otros.",
    "often.at_least": "Al menos {times} veces entre día y noche",
    "often.times": "{times} veces",
    "often.times_day": "{times} veces al día",
    "often.times_both": "{times} veces entre día y noche",
    "often.each_feed": "En cada toma",
    "often.each_time": "Cada vez",
    "often.hours": "Cada {hours} horas",
    "often.daily": "Todos los días",
    "until.visit": "La próxima visita",
    "until.weight": "El próximo peso",
    "until.pain": "Que deje de doler",
    "until.birth_weight": "Que su bebé recupere el peso de nacimiento",
    "who.all": "Todos los que alimentan",
    "who.both": "Los dos padres",
    "care.cool": "Paños fríos durante {minutes} minutos después de una toma.",
    "care.own_milk": "Deje secar una gota de su propia leche en el pezón después de la toma.",
    "care.pump": "Sáquese leche {times} veces en un día y una noche, {minutes} minutos cada vez.",
    "well.woke": "Su bebé despertó por sí solo y pidió leche.",
    "well.swallows": "Usted oyó tragar a su bebé.",
    "well.latch": "Su bebé tomó el pecho con la boca bien abierta.",
    "well.comfort": "La toma no dolió.",
    "next.here": "En la próxima visita.",
    "next.clinic": "En la clínica.",
    "next.who_day": "{who}, el {day}",
    "hours.from_to": "de {first} a {last}",
    "hours.daily": "de {first} a {last}, todos los días",
})  # fmt: skip

SPANISH: Final = Catalogue(
    "es", "Spanish", "español", sentences(_WORDS, _PLAN, _CALLS, _READY, CHECKING, ANSWERS), _DAYS, _MONTHS
)
"""Spanish as spoken in the Americas, with the words of everyday."""
