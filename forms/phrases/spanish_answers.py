"""The answers a family's plan prints, and the questions of its "also noted", in Spanish."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = ["ANSWERS"]

ANSWERS: Final[Mapping[str, str]] = MappingProxyType({
    "label.plan.expressing": "Extracción de leche: cuándo y cuánto tiempo",
    "label.plan.comfort_care": "Alivio y cuidado de la piel y los pezones",
    "option.plan.watch_baby.sleepy": "Demasiado sueño para terminar dos tomas seguidas",
    "option.plan.watch_baby.few_wets": "Menos pañales mojados de los que dice el plan",
    "option.plan.watch_baby.no_wet_8h": "Ningún pañal mojado en 8 horas",
    "option.plan.watch_baby.yellow": "Piel más amarilla, u ojos amarillos",
    "option.plan.watch_baby.stools": "Popó negro, blanco o con sangre",
    "option.plan.watch_baby.fever": "Fiebre, o cuerpo frío",
    "option.plan.watch_baby.vomit": "Vómito después de cada toma",
    "option.plan.watch_baby.refuses": "No quiere comer",
    "option.plan.watch_parent.fever": "Fiebre o escalofríos",
    "option.plan.watch_parent.sore_area": "Una zona caliente, adolorida o roja",
    "option.plan.watch_parent.lump": "Un bulto que no se quita",
    "option.plan.watch_parent.bleeding": "Sangrado que empapa una toalla en una hora",
    "option.plan.watch_parent.headache": "Dolor de cabeza fuerte o cambios en la vista",
    "option.plan.watch_parent.leg": "Una pierna hinchada y con dolor",
    "option.plan.watch_parent.low": "Mucha tristeza o pensamientos que asustan",
    "option.plan.watch_parent.pain": "Dolor que empeora",
    "option.plan.followup_kind.home": "Una visita en casa",
    "option.plan.followup_kind.clinic": "Una visita en la clínica",
    "option.plan.followup_kind.video": "Una videollamada",
    "option.plan.followup_kind.phone": "Una llamada por teléfono",
    "option.plan.followup_kind.text": "Un mensaje de texto",
    "option.plan.followup_kind.provider": "Una visita con quien atiende a su bebé",
    "option.plan.followup_kind.none": "Nada previsto; la familia llamará",
    "option.feeding_amount.milks.own": "Su propia leche",
    "option.feeding_amount.milks.donor": "Leche de donante",
    "option.feeding_amount.milks.formula": "Fórmula",
    "option.feeding_amount.method.bottle": "Con biberón, despacio y con pausas",
    "option.feeding_amount.method.tube_breast": "Con una sonda en el pecho",
    "option.feeding_amount.method.cup": "Con vasito",
    "option.feeding_amount.method.spoon": "Con cuchara",
    "option.feeding_amount.method.syringe": "Con jeringa",
    "option.feeding_amount.method.finger": "Con el dedo y una sonda",
    "option.parent.body_word.breast": "pecho",
    "option.parent.body_word.chest": "pecho",
    "option.parent.feeding_word.breastfeeding": "dar pecho",
    "option.parent.feeding_word.chestfeeding": "dar pecho",
    "option.parent.feeding_word.bodyfeeding": "dar de comer con el cuerpo",
    "option.parent.feeding_word.nursing": "amamantar",
})  # fmt: skip
