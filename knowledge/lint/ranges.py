"""Rules about ranges: what is plausible holds what is right."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.base import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.visit import PlateItem

from .rule import Finding, Rule, Severity


class PlausibleOrdered(Rule):
    """A plausible range runs from low to high and lies inside the quantity's own."""

    name = "plausible-ordered"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield ranges that are upside down or wider than any meter."""
        for quantity in kb.quantities.values():
            if quantity.plausible[0] >= quantity.plausible[1]:
                yield self.at(kb, "quantity", quantity.id, "plausible must run from low to high", "plausible")
        narrowed: list[tuple[str, Check | PlateItem]] = [("check", entry) for entry in kb.checks.values()]
        narrowed += [("plate_item", entry) for entry in kb.plate_items.values()]
        for kind, entry in narrowed:
            own = entry.plausible
            if own is None:
                continue
            outer = kb.quantities[entry.quantity].plausible if entry.quantity else own
            if not outer[0] <= own[0] < own[1] <= outer[1]:
                message = f"plausible must run upwards inside {outer[0]:g} to {outer[1]:g}"
                yield self.at(kb, kind, entry.id, message, "plausible")


class PlausibleHoldsLimit(Rule):
    """What a check may plausibly read includes what its limit window and its answers name."""

    name = "plausible-holds-limit"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield checks whose right values would be asked back as out of range."""
        for check in kb.checks.values():
            if check.quantity is None:
                continue
            low, high = check.plausible or kb.quantities[check.quantity].plausible
            for value in sorted({*_window(kb, check), *_answers(check)}):
                if not low <= value <= high:
                    message = f"plausible {low:g} to {high:g} leaves out {value:g} of its limit or answers"
                    yield self.at(kb, "check", check.id, message, "plausible")


def _window(kb: KnowledgeBase, check: Check) -> Iterator[float]:
    if check.limit is None:
        return
    limit = kb.limits[check.limit]
    if limit.formula == "fixed_window":
        yield from (value for name, value in limit.constants.items() if "low" in name or "high" in name)
    elif len(limit.needs_plate) == 1 and kb.plate_items[limit.needs_plate[0]].quantity == check.quantity:
        yield from limit.ranges.get(limit.needs_plate[0], ())
        yield from limit.defaults.values()


def _answers(check: Check) -> Iterator[float]:
    for answer in check.answers:
        yield from (value for value in (answer.at_least, answer.below) if value is not None)


class LimitRanges(Rule):
    """Typical plate values lie inside the limit's own range, and that inside what the plate item can say."""

    name = "limit-ranges"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield limits that assume what no plate says."""
        for limit in kb.limits.values():
            for item_id, value in limit.defaults.items():
                low, high = limit.ranges.get(item_id, (value, value))
                outer = kb.plate_items[item_id].plausible or (low, high)
                if not outer[0] <= low <= value <= high <= outer[1]:
                    ranges = f"{low:g} to {high:g}, and that in {outer[0]:g} to {outer[1]:g}"
                    message = f"default {item_id} {value:g} must lie in {ranges}"
                    yield self.at(kb, "limit", limit.id, message, "defaults", item_id)
            extra = set(limit.defaults) - {*limit.needs_plate, *limit.optional_plate}
            for item_id in sorted(extra):
                message = f"default {item_id!r} is never used"
                yield self.at(kb, "limit", limit.id, message, "defaults", item_id)


RULES: tuple[Rule, ...] = (PlausibleOrdered(), PlausibleHoldsLimit(), LimitRanges())
