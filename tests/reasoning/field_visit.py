"""One simulated visit: the technician does what the diagnosis says until the unit is cured or it gives up."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.reasoning.diagnosis import CheckNext, Diagnosis, Evidence, NoFault, Propose, Repaired
from assistant.reasoning.tables import Tables
from knowledge.models.entry import PowerNeed

from .simulated_unit import FieldUnit

MOST_STEPS = 45


@dataclass
class Visit:
    """How it went."""

    fixed: bool = False
    needless: list[str] = field(default_factory=list)
    checks: int = 0
    minutes: float = 0.0
    end: str = ""
    log: list[str] = field(default_factory=list)


def run_visit(tables: Tables, unit: FieldUnit, plate: dict[str, float], complaints: tuple[str, ...]) -> Visit:
    """Play a visit to its end."""
    visit, history = Visit(), list[Evidence | Repaired]()
    power, setup = PowerNeed.ANY, None
    for _ in range(MOST_STEPS):
        diagnosis = Diagnosis(tables, history, complaints=complaints, plate=plate)
        step = diagnosis.decide(allowed=lambda _: True, power=power, setup=setup)
        if isinstance(step, CheckNext):
            check = tables.kb.checks[step.check]
            answer = unit.answer(check)
            history.append(answer)
            setup = check.setup
            power = check.needs if check.needs is not PowerNeed.ANY else power
            visit.checks += 1
            visit.minutes += step.minutes
            visit.log.append(f"{step.check}{'*' if step.retake else ''}={answer.outcomes or answer.value}")
        elif isinstance(step, Propose):
            visit.log.append(f"REPAIR {step.repair} {step.probability:.2f}")
            if not unit.repair(step.repair):
                visit.needless.append(step.repair)
            history.append(Repaired(step.repair))
            visit.minutes += tables.kb.repairs[step.repair].minutes
            if unit.healthy:
                visit.fixed = True
                visit.end = "repaired"
                return visit
        else:
            visit.end = type(step).__name__
            visit.fixed = isinstance(step, NoFault) and unit.healthy
            return visit
    visit.end = "too long"
    return visit
