"""What the kinds of unit name, and what is for some units only."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from .models.entry import Fitted
from .models.unit import Consequence, Element, UnitKind
from .reader import Loc
from .use import Use, each, many


def unit_uses(unit: UnitKind) -> Iterator[Use]:
    here = ("unit", unit.id)
    yield from each(*here, "source", many("sources", unit.sources))
    yield from each(*here, "choice or kind of unit", ((("phrases_with", made), made) for made in unit.phrases_with))
    yield from _wired(unit, (), unit.elements, unit.consequences)
    for nth, option in enumerate(unit.options):
        yield Use(*here, ("options", nth, "source"), "source", option.source)
        before = many("asked_before", option.asked_before)
        yield from each(*here, "repair", ((("options", nth, *at), repair) for at, repair in before))
        for place, choice in enumerate(option.choices):
            spot: Loc = ("options", nth, "choices", place)
            yield from _wired(unit, spot, choice.elements, choice.consequences)
            lists = [
                *many("without", choice.without),
                *((("changes", n, "element"), c.element) for n, c in enumerate(choice.changes)),
            ]
            yield from each(*here, f"element of {unit.id}", (((*spot, *loc), name) for loc, name in lists))
            yield from each(*here, "plate item", (((*spot, "bases", item), item) for item in choice.bases))
            yield from each(*here, "plate item", (((*spot, *at), item) for at, item in many("printed", choice.printed)))
            for n, change in enumerate(choice.changes):
                ends = (((*spot, "changes", n, end), getattr(change, end)) for end in ("a", "b"))
                yield from each(*here, f"node of {unit.id}", ends)
    yield from each(*here, "plate item", ((("bases", item), item) for item in unit.bases))


def _wired(unit: UnitKind, at: Loc, elements: Iterable[Element], effects: Iterable[Consequence]) -> Iterator[Use]:
    here = ("unit", unit.id)
    for place, element in enumerate(elements):
        spot: Loc = (*at, "elements", place)
        for end in ("a", "b", "c", "d"):
            yield from each(*here, f"node of {unit.id}", [((*spot, end), getattr(element, end))])
        yield from each(*here, f"coil of {unit.id}", [((*spot, "by"), element.by)])
        yield Use(*here, (*spot, "source"), "source", element.source)
    for place, effect in enumerate(effects):
        spot = (*at, "consequences", place)
        yield Use(*here, (*spot, "opens"), f"element of {unit.id}", effect.opens)
        yield Use(*here, (*spot, "source"), "source", effect.source)
        for nth, word in enumerate(effect.when):
            fact = word.removeprefix("not ")
            yield Use(*here, (*spot, "when", nth), f"fact made by a fault or motor of {unit.id}", fact)


def fitted_uses(kind: str, entry: Fitted) -> Iterator[Use]:
    """The choices and kinds that an entry is for, or is called otherwise with."""
    named = [*many("only_with", entry.only_with), *many("not_with", entry.not_with)]
    named += [(("wordings", condition), condition) for condition in entry.wordings]
    yield from each(kind, entry.id, "choice or kind of unit", named)
    for condition, wording in entry.wordings.items():
        yield from each(kind, entry.id, "limit", [(("wordings", condition, "limit"), wording.limit)])
        several = many("stands_for", wording.stands_for or ())
        yield from each(kind, entry.id, "subject", ((("wordings", condition, *loc), one) for loc, one in several))
