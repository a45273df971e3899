"""Every place where one entry of the knowledge names another: what reference checks and ``show`` work on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from pydantic import BaseModel

from .models.check import Amps, Check, Microfarad, Ohms, Residual, Sense, Volts
from .models.entry import Fitted
from .models.fault import Fault
from .models.safety import Stop
from .reader import Loc
from .reasoning_uses import generated_uses, reasoning_uses, signature_uses
from .unit_parts import holders
from .unit_uses import fitted_uses, unit_uses
from .use import Use, each, many, outcomes

if TYPE_CHECKING:
    from .base import KnowledgeBase

CAUTION_KINDS = {
    "check": "check",
    "repair": "repair",
    "needs": "power need",
    "hazard": "hazard",
    "phase": "phase",
    "wait": "wait",
    "refrigerant": "refrigerant",
    "calculation": "calculation",
}
"""Prefix of a caution's ``when`` -> kind of the id behind it."""

ANNOUNCED = {"safety": "step", "repair_done": "repair", "tool": "tool", "hazard": "hazard"}
"""Kind of an intent -> kind of the id in its ``about``; the other kinds name answers and requests."""


def uses(kb: KnowledgeBase) -> Iterator[Use]:
    """Yield every use of an id in the whole knowledge, defined or not."""
    yield from _vocabulary(kb)
    fitted: dict[str, Iterable[Fitted]] = {
        "subject": kb.subjects.values(),
        "check": kb.checks.values(),
        "fault": kb.faults.values(),
        "repair": kb.repairs.values(),
    }
    for kind, listed in fitted.items():
        for entry in listed:
            yield from fitted_uses(kind, entry)
    for check in kb.checks.values():
        yield from _check(kb, check)
    for fault in kb.faults.values():
        yield from _fault(kb, fault)
    yield from _repairs(kb)
    yield from _safety(kb)
    yield from _limits(kb)
    yield from _calculations(kb)
    for unit in kb.units.values():
        yield from unit_uses(unit)
    yield from _visit(kb)
    yield from reasoning_uses(kb)
    yield from generated_uses(kb)
    yield from signature_uses(kb)
    yield from _sourced("electrical_tables", kb.electrical_tables)
    yield from _sourced("heat_stress", kb.heat_stress)


def _sourced(kind: str, model: BaseModel, loc: Loc = ()) -> Iterator[Use]:
    """Every ``source`` inside a single entry, however deep."""
    for name in type(model).model_fields:
        value = getattr(model, name)
        if name == "source":
            yield Use(kind, "", (*loc, name), "source", value)
        for place, part in enumerate(value if isinstance(value, tuple) else (value,)):
            if isinstance(part, BaseModel):
                yield from _sourced(kind, part, (*loc, name, place) if isinstance(value, tuple) else (*loc, name))


def _vocabulary(kb: KnowledgeBase) -> Iterator[Use]:
    for quantity in kb.quantities.values():
        yield Use("quantity", quantity.id, ("source",), "source", quantity.source)
    for subject in kb.subjects.values():
        yield from each("subject", subject.id, "subject", [(("part_of",), subject.part_of)])
        yield from each("subject", subject.id, "quantity", many("quantities", subject.quantities))
        yield from each("subject", subject.id, "subject", many("stands_for", subject.stands_for))
        yield from each("subject", subject.id, "subject", many("two_values", subject.two_values))
        yield from each("subject", subject.id, "subject", many("whole_of", subject.whole_of))
        yield from each("subject", subject.id, "state", many("whole_states", subject.whole_states))
        yield from each("subject", subject.id, "subject", many("one_of", subject.one_of))
    for state in kb.states.values():
        yield from each("state", state.id, "state", [(("opposite",), state.opposite)])
        yield from each("state", state.id, "subject", many("subjects", state.subjects))
    for intent in kb.intents.values():
        if intent.kind in ANNOUNCED:
            yield from each("intent", intent.id, ANNOUNCED[intent.kind], [(("about",), intent.about)])
        yield from each("intent", intent.id, "subject", many("on", intent.on))
        yield from each("intent", intent.id, "subject", many("never_of", intent.never_of))
        yield from each("intent", intent.id, "subject", [(("reading_about",), intent.reading_about)])
    for complaint in kb.complaints.values():
        yield from outcomes("complaint", complaint.id, "hints", complaint.hints)
        for about, states in complaint.found.items():
            yield Use("complaint", complaint.id, ("found", about), "subject", about)
            yield from (Use("complaint", complaint.id, ("found", about), "state", one) for one in states)
        yield Use("complaint", complaint.id, ("source",), "source", complaint.source)


def _check(kb: KnowledgeBase, check: Check) -> Iterator[Use]:
    here = ("check", check.id)
    yield Use(*here, ("about",), "subject", check.about)
    yield from each(*here, "subject", many("also_about", check.also_about))
    yield from each(*here, "quantity", [(("quantity",), check.quantity)])
    yield from each(*here, "limit", [(("limit",), check.limit)])
    yield from each(*here, "tool", many("tools", check.tools))
    yield from each(*here, "caution", many("cautions", check.cautions))
    yield Use(*here, ("source",), "source", check.source)
    yield Use(*here, ("setup",), "set-up with a cost", check.setup)
    for place, answer in enumerate(check.answers):
        for nth, state in enumerate(answer.states):
            yield Use(*here, ("answers", place, "states", nth), "state", state)
        for nth, covered in enumerate(answer.covers):
            yield Use(*here, ("answers", place, "covers", nth), f"outcome of {check.id}", covered)
    for field, meant in (("yes", check.yes), ("no", check.no)):
        yield from each(*here, f"outcome of {check.id}", many(field, meant))
    yield from _measured(kb, check)


def _measured(kb: KnowledgeBase, check: Check) -> Iterator[Use]:
    measure = check.measure
    named: list[tuple[str, Loc, str]] = []
    if isinstance(measure, Volts | Ohms):
        named += [("node", ("between", place), node) for place, node in enumerate(measure.between)]
    if isinstance(measure, Volts | Amps):
        named.append(("situation", ("at",), measure.at))
    if isinstance(measure, Amps):
        named.append(("element", ("through",), measure.through))
    if isinstance(measure, Microfarad):
        named.append(("element", ("of",), measure.of))
    if isinstance(measure, Ohms):
        named += [("element", ("leads_off", place), lead) for place, lead in enumerate(measure.leads_off)]
    for target, loc, value in named:
        yield from _of_units(kb, check.id, ("measure", *loc), target, value)
    if isinstance(measure, Residual):
        yield from _residual(check.id, measure)
    if isinstance(measure, Sense):
        yield from each("check", check.id, "gate", [(("measure", "gate"), measure.gate)])
        yield from each("check", check.id, "computed fact", [(("measure", "fact"), measure.fact)])
        for outcome in measure.normally:
            yield Use("check", check.id, ("measure", "normally", outcome), f"outcome of {check.id}", outcome)


def _of_units(kb: KnowledgeBase, check: str, loc: Loc, target: str, value: str) -> Iterator[Use]:
    for unit in holders(kb, target, value):  # a check is for the kinds that have what it measures
        yield Use("check", check, loc, f"{target} of {unit}", value)


def _residual(check: str, how: Residual) -> Iterator[Use]:
    yield Use("check", check, ("measure", "gate"), "gate", how.gate)
    for field in ("inputs", "orifice_inputs", "sharper", "only_without"):
        listed = many(field, getattr(how, field))
        yield from each("check", check, "check", ((("measure", *loc), name) for loc, name in listed))
    for pressure, charted in how.from_chart.items():
        for name in (pressure, charted):
            yield Use("check", check, ("measure", "from_chart", pressure), "check", name)
    for shown, saved in how.instead.items():
        yield Use("check", check, ("measure", "instead", shown), "check", shown)
        for nth, name in enumerate(saved):
            yield Use("check", check, ("measure", "instead", shown, nth), "check", name)


def _fault(kb: KnowledgeBase, fault: Fault) -> Iterator[Use]:
    here = ("fault", fault.id)
    yield Use(*here, ("part",), "subject", fault.part)
    yield from each(*here, "signature", [(("signature",), fault.signature)])
    yield Use(*here, ("repair",), "repair", fault.repair)
    yield from each(*here, "complaint", many("noticed_as", fault.noticed_as))
    yield Use(*here, ("prior_source",), "source", fault.prior_source)
    for place, change in enumerate(fault.sets):
        for unit in holders(kb, "element", change.element):
            yield Use(*here, ("sets", place, "element"), f"element of {unit}", change.element)
    for fact, value in fault.facts.items():
        yield Use(*here, ("facts", fact), "fact that a check or consequence asks for", f"{fact}.{value}")
    yield from outcomes(*here, "shows", {check: tuple(shown) for check, shown in fault.shows.items()})


def _repairs(kb: KnowledgeBase) -> Iterator[Use]:
    for repair in kb.repairs.values():
        here = ("repair", repair.id)
        yield from each(*here, "subject", [(("part",), repair.part)])
        yield from each(*here, "check", many("confirm", repair.confirm))
        for check, confirming in repair.confirm_as.items():
            yield Use(*here, ("confirm_as", check), f"confirming check of {repair.id}", check)
            for place, outcome in enumerate(confirming):
                yield Use(*here, ("confirm_as", check, place), f"outcome of {check}", outcome)
        for check, given in repair.given.items():
            yield Use(*here, ("given", check), f"confirming check of {repair.id}", check)
            yield from each(*here, "check", ((("given", check, n), one) for n, one in enumerate(given)))
        yield from each(*here, "caution", many("cautions", repair.cautions))
        yield Use(*here, ("source",), "source", repair.source)


def _safety(kb: KnowledgeBase) -> Iterator[Use]:
    for step in kb.steps.values():
        yield from each("step", step.id, "quantity", [(("reading",), step.reading)])
        yield from each("step", step.id, "subject", [(("about",), step.about)])
        yield from each("step", step.id, "subject", many("also_about", step.also_about))
        yield from fitted_uses("step", step)
        yield Use("step", step.id, ("source",), "source", step.source)
    for caution in kb.cautions.values():
        yield Use("caution", caution.id, ("source",), "source", caution.source)
        for place, when in enumerate(caution.when):
            prefix, _, value = when.partition(":")
            target = CAUTION_KINDS.get(prefix, "place for a caution")
            named = value if prefix in CAUTION_KINDS else when
            yield Use("caution", caution.id, ("when", place), target, named)
    for stop in kb.stops.values():
        yield from _stop(stop)
    rules = kb.power_rules
    single = ("power_rules", "")
    yield from each(*single, "subject", many("running_subjects", rules.running_subjects))
    yield from each(*single, "state", many("running_states", rules.running_states))
    yield from each(*single, "subject", many("fed_from_indoors", rules.fed_from_indoors))
    yield from each(*single, "subject", many("control_circuit", rules.control_circuit))
    for nth, together in enumerate(rules.any_order):
        for place, step_id in enumerate(together):
            yield Use(*single, ("any_order", nth, place), "step", step_id)
    turned = rules.turned
    yield from each(*single, "subject", [(("turned", "subject"), turned.subject), (("turned", "blade"), turned.blade)])
    yield Use(*single, ("turned", "state"), "state", turned.state)
    told = [(("turned", "by_hand"), turned.by_hand), (("turned", "by_itself"), turned.by_itself)]
    yield from each(*single, "intent", told)
    yield Use(*single, ("source",), "source", rules.source)


def _stop(stop: Stop) -> Iterator[Use]:
    here = ("stop", stop.id)
    yield from each(*here, "check", [(("check",), stop.check), (("retest",), stop.retest)])
    yield from each(*here, "check", many("also_retests", stop.also_retests))
    yield from each(*here, "subject", [(("about",), stop.about)])
    yield from each(*here, "state", many("states", stop.states))
    yield from each(*here, "repair", [(("repeats_repair",), stop.repeats_repair)])
    yield from each(*here, f"outcome of {stop.retest}", many("retest_outcomes", stop.retest_outcomes))
    yield Use(*here, ("source",), "source", stop.source)


def _limits(kb: KnowledgeBase) -> Iterator[Use]:
    for limit in kb.limits.values():
        here = ("limit", limit.id)
        yield Use(*here, ("quantity",), "quantity", limit.quantity)
        yield from each(*here, "plate item", many("needs_plate", limit.needs_plate))
        yield from each(*here, "plate item", many("optional_plate", limit.optional_plate))
        yield from each(*here, "plate item", ((("defaults", item), item) for item in limit.defaults))
        yield from each(*here, "plate item", ((("ranges", item), item) for item in limit.ranges))
        for given, checks in limit.uses.items():
            for place, check in enumerate(checks):
                yield Use(*here, ("uses", given, place), "check", check)
        yield from each(*here, "table", [(("table",), limit.table)])
        yield from each(*here, "source", many("sources", limit.sources))


def _asked_for(kb: KnowledgeBase) -> Iterator[Use]:
    for called in kb.calculation_words.values():
        here = ("calculation_words", called.id)
        yield Use(*here, ("id",), "calculation", called.id)
        yield from each(*here, "calculation input", [(("own",), called.own)])
        yield from each(*here, "calculation input", many("told_with", called.told_with))
        yield from each(*here, "plate item", [(("governed_by",), called.governed_by)])
    for named in kb.input_words.values():
        yield Use("input_words", named.id, ("id",), "calculation input", named.id)
        yield from each("input_words", named.id, "subject", many("readings", named.readings))
        for check, said in named.looks.items():
            yield Use("input_words", named.id, ("looks", check), "check", check)
            yield from each("input_words", named.id, f"outcome of {check}", ((("looks", check), one) for one in said))
    for nth, pair in enumerate(kb.asking.ascending):
        yield from each("asking", "", "calculation input", _many_in("ascending", nth, pair))
    yield from each("asking", "", "plate item", [(("marked", "volts"), kb.asking.marked.volts)])
    yield from each("asking", "", "plate item", many("sections", kb.asking.marked.sections))
    yield from each(
        "asking", "", "calculation", [(("unnamed_volts", "calculation"), kb.asking.unnamed_volts.calculation)]
    )
    yield from each("asking", "", "calculation input", [(("unnamed_volts", "input"), kb.asking.unnamed_volts.input)])
    for nth, unit in enumerate(kb.asking.units):
        yield Use("asking", "", ("units", nth, "quantity"), "quantity", unit.quantity)


def _many_in(field: str, nth: int, values: Iterable[str]) -> Iterator[tuple[Loc, str]]:
    for place, value in enumerate(values):
        yield (field, nth, place), value


def _calculations(kb: KnowledgeBase) -> Iterator[Use]:
    for calculation in kb.calculations.values():
        here = ("calculation", calculation.id)
        yield Use(*here, ("quantity",), "quantity", calculation.quantity)
        yield from each(*here, "table", [(("table",), calculation.table)])
        yield from each(*here, "limit", [(("limit",), calculation.limit)])
        yield from each(*here, "caution", many("cautions", calculation.cautions))
        yield from each(*here, "source", many("sources", calculation.sources))
        yield from each(*here, "limit", ((("limit_by", choice), to) for choice, to in calculation.limit_by.items()))
        yield from each(*here, "calculation input", many("needs", calculation.needs))
        yield from each(*here, "calculation input", many("may", calculation.may))
        yield from each(*here, "calculation input", ((("conditions", name), name) for name in calculation.conditions))
    for given in kb.calculation_inputs.values():
        here = ("calculation_input", given.id)
        yield from each(*here, "quantity", [(("quantity",), given.quantity)])
        yield from each(*here, "plate item", [(("plate",), given.plate)])
        yield from each(*here, "calculation input", many("instead_of", given.instead_of))
        yield Use(*here, ("source",), "source", given.source)
    yield from _asked_for(kb)
    for table in kb.tables.values():
        yield from each("table", table.id, "source", many("sources", table.sources))
    for refrigerant in kb.refrigerants.values():
        yield from each("refrigerant", refrigerant.id, "source", many("sources", refrigerant.sources))
    for saturation in kb.saturation.values():
        yield Use("saturation", saturation.id, ("id",), "refrigerant", saturation.id)
        yield Use("saturation", saturation.id, ("source",), "source", saturation.source)


def _visit(kb: KnowledgeBase) -> Iterator[Use]:
    for item in kb.plate_items.values():
        here = ("plate_item", item.id)
        yield from each(*here, "quantity", [(("quantity",), item.quantity)])
        yield from each(*here, "subject", [(("subject",), item.subject)])
        yield from each(*here, "plate item", [(("up_to",), item.up_to)])
        yield Use(*here, ("source",), "source", item.source)
    for wait in kb.waits.values():
        yield Use("wait", wait.id, ("about",), "subject", wait.about)
        for check, names in wait.starts_on.items():
            yield Use("wait", wait.id, ("starts_on", check), "check", check)
            for place, name in enumerate(names):
                yield Use("wait", wait.id, ("starts_on", check, place), f"outcome of {check}", name)
        yield Use("wait", wait.id, ("source",), "source", wait.source)
    for proof in kb.close_out.values():
        here = ("close_out", proof.id)
        yield from each(*here, "complaint", many("complaints", proof.complaints))
        yield from each(*here, "check", [(("check",), proof.check)])
        for check, outcome in proof.good_when.items():
            yield Use(*here, ("good_when", check), "check", check)
            yield Use(*here, ("good_when", check), f"outcome of {check}", outcome)
        for check, outcome in proof.or_when.items():
            yield Use(*here, ("or_when", check), "check", check)
            yield Use(*here, ("or_when", check), f"outcome of {check}", outcome)
        yield from each(*here, "step", many("steps_done", proof.steps_done))
        yield from each(*here, "step", many("steps_undone", proof.steps_undone))
        yield from each(*here, "subject", [(("about",), proof.about)])
        yield from each(*here, "check", many("reads", proof.reads))
        yield from each(*here, "check", [(("settled_by",), proof.settled_by)])
        yield from each(*here, "quantity", [(("quantity",), proof.quantity)])
        yield from each(*here, "limit", [(("limit",), proof.limit)])
        yield Use(*here, ("source",), "source", proof.source)
