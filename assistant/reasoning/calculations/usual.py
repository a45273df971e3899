"""What is usual of a calculation's result, before anything was measured."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.reasoning.limits import LimitResult, limit_for
from knowledge.base import KnowledgeBase

from .refrigerants import find_refrigerant


def usual_limit(kb: KnowledgeBase, calculation_id: str, known: Mapping[str, float | str]) -> LimitResult | None:
    """Return the limit that a result of this calculation is held against; None where it hangs on what is not known.

    ``known``: what plate and note say, by plate item or input id; choices and refrigerants as words. Raises KeyError
    for an unknown calculation.
    """
    calculation = kb.calculations[calculation_id]
    chosen = next((str(value) for value in known.values() if value in calculation.limit_by), "")
    only = next(iter(calculation.limit_by.values())) if len(calculation.limit_by) == 1 else None
    limit_id = calculation.limit or calculation.limit_by.get(chosen) or only
    if limit_id is None:
        return None
    numbers = {name: float(value) for name, value in known.items() if isinstance(value, float | int)}
    refrigerant = find_refrigerant(kb, str(known.get("refrigerant", "")))
    most = refrigerant.discharge_max_f if refrigerant is not None else None
    found = limit_for(kb, limit_id, numbers, given=numbers | ({"maximum": most} if most is not None else {}))
    bounded = found is not None and not found.problem and (found.low is not None or found.high is not None)
    return found if bounded else None
