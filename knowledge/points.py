"""Volts between any two test points and amps in any conductor: subjects and checks made on demand.

Curated checks have wording, minutes and limits of their own and go first. What is left are some hundred pairs of
points that a technician may put probes on unasked, T1 to compressor C, and the leads that may be clamped. They are
heard and judged by the solved circuit like every other reading, but never asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TypeVar

from .models.check import Amps, Check, Volts
from .models.entry import Fitted, PowerNeed
from .models.reasoning import PointWording
from .models.unit import Element, Node, UnitKind
from .models.vocabulary import Subject
from .unit_parts import every_choice, every_element

V = TypeVar("V", bound=Fitted)

GROUND = "G"
_PAIR = "between_"
_VOLTS = "v_"
_LEAD = "through_"
_AMPS = "a_"


def pair_id(a: str, b: str) -> str:
    """Return the subject id of two test points; their order does not matter."""
    return f"{_PAIR}{'_'.join(sorted((a.lower(), b.lower())))}"


def pair_check_id(subject: str) -> str:
    """Return the id of the volts check on a pair of test points, by its subject id."""
    return f"{_VOLTS}{subject}"


def is_pair(subject: str) -> bool:
    """Return True for the id of a pair of test points."""
    return subject.startswith(_PAIR)


def lead_id(element: str) -> str:
    """Return the subject id of a conductor that a clamp is put around."""
    return f"{_LEAD}{element}"


def lead_check_id(subject: str) -> str:
    """Return the id of the amps check on a conductor, by its subject id."""
    return f"{_AMPS}{subject}"


def is_made_subject(key: str) -> bool:
    """Return True for the id of a subject that is made on demand."""
    return key.startswith((_PAIR, _LEAD))


def is_made(key: str) -> bool:
    """Return True for the id of a subject or check that is made on demand."""
    return is_made_subject(key) or is_pair_check(key) or key.startswith(f"{_AMPS}{_LEAD}")


def is_pair_check(check: str) -> bool:
    """Return True for the id of a volts check on a pair of test points."""
    return check.startswith(f"{_VOLTS}{_PAIR}")


@dataclass(frozen=True, eq=False)
class TestPoints:
    """The nodes of one unit, or of all that is known, with what is between them."""

    __test__ = False  # no test, whatever its name begins with

    nodes: Mapping[str, Node]
    elements: tuple[Element, ...]
    situation: str
    """In which such a reading is taken: calling, as found."""
    wording: PointWording

    @classmethod
    def of(cls, unit: UnitKind, wording: PointWording) -> TestPoints:
        """Return those of a unit as it is built."""
        return cls(unit.nodes, unit.elements, _calling(unit), wording)

    @classmethod
    def of_any(cls, units: Iterable[UnitKind], wording: PointWording) -> TestPoints:
        """Return those of every kind with every option; of kinds that share a name the first one's."""
        listed = list(units)
        groups = [unit.nodes for unit in listed]
        groups += [choice.nodes for unit in listed for choice in every_choice(unit)]
        nodes: dict[str, Node] = {}
        for group in groups:
            nodes = {**group, **nodes}
        return cls(nodes, tuple(e for unit in listed for e in every_element(unit)), _calling(listed[0]), wording)

    def between(self, subject: str) -> tuple[str, str] | None:
        """Return the two nodes that a subject id names, ground last; None where they are not both here."""
        if not is_pair(subject):
            return None
        ends = [self._by_name.get(part) for part in subject.removeprefix(_PAIR).split("_")]
        if len(ends) != 2 or None in ends or ends[0] == ends[1]:
            return None
        order = list(self.nodes)
        first, second = sorted((end for end in ends if end), key=lambda end: (end == GROUND, order.index(end)))
        return first, second

    def subject(self, subject: str) -> Subject | None:
        """Return two test points, or a conductor, as something to be read; None where the id is of nothing here."""
        lead = self._leads.get(subject)
        if lead is not None:
            return Subject(id=subject, name=lead.name, phrases=lead.phrases, quantities=("current",))
        ends = self.between(subject)
        if ends is None:
            return None
        fed = all(end in self._fed for end in ends)
        return Subject(id=subject, name=self._name(ends), phrases=(), quantities=("voltage",), upstream=fed)

    def check(self, check: str) -> Check | None:
        """Return a check made on demand; None where its points or its conductor are not here, or on two circuits.

        Between circuits that hang together nowhere (24 volts to ground) a reading says only how they happen to be
        bonded, which differs from house to house.
        """
        lead = self._leads.get(check.removeprefix(_AMPS)) if check.startswith(_AMPS) else None
        if lead is not None:
            return self._amps_check(check, lead)
        subject = check.removeprefix(_VOLTS)
        ends = self.between(subject) if is_pair_check(check) else None
        if ends is None or ends[1] not in self._circuit(ends[0]):
            return None
        say, name = self.wording, self._name(ends)
        return Check(
            id=check, name=say.name.format(points=name), about=subject, quantity="voltage",
            measure=Volts(kind="volts", between=ends, at=self.situation), needs=PowerNeed.LIVE, tools=say.tools,
            energised=not all(end in self._fed for end in ends), covers_off=True, setup=say.setup, minutes=say.minutes,
            say=say.say.format(points=name), spoken=say.spoken.format(points=name), why=say.why, source=say.source,
        )  # fmt: skip

    def _amps_check(self, check: str, lead: Element) -> Check:
        say = self.wording
        return Check(
            id=check, name=say.amps_name.format(lead=lead.name), about=lead_id(lead.id), quantity="current",
            measure=Amps(kind="amps", through=lead.id, at=self.situation), needs=PowerNeed.LIVE, tools=say.amps_tools,
            energised=True, covers_off=True, setup=say.setup, minutes=say.minutes,
            say=say.amps_say.format(lead=lead.name), spoken=say.amps_spoken.format(lead=lead.name), why=say.why,
            read_error_pct=say.amps_error_pct, source=say.source,
        )  # fmt: skip

    @cached_property
    def solved(self) -> Mapping[str, int]:
        """Every check made on demand that the circuit predicts, with its place: pairs first, then conductors."""
        pairs = [pair_check_id(pair_id(*ends)) for ends in self.pairs]
        return {check: k for k, check in enumerate([*pairs, *(lead_check_id(lead) for lead in self._leads)])}

    @property
    def leads(self) -> tuple[Element, ...]:
        """Conductors that may be clamped, in the order of ``solved``."""
        return tuple(self._leads.values())

    def clamped(self, subject: str) -> Element | None:
        """Return the conductor whose amps are meant by the name of a part; None where there is none."""
        return next((e for e in self.elements if subject == e.clamped_as), self._leads.get(subject))

    @cached_property
    def _leads(self) -> dict[str, Element]:
        return {lead_id(e.id): e for e in self.elements if e.phrases or e.clamped_as}

    @cached_property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """All two points that have a name to be said and lie on one circuit, in the order of the file."""
        named = [name for name, node in self.nodes.items() if node.phrases]
        return tuple(
            ends
            for a, b in combinations(named, 2)
            if (ends := self.between(pair_id(a, b))) is not None and b in self._circuit(a)
        )

    def _name(self, ends: tuple[str, str]) -> str:
        return self.wording.points.format(a=self.nodes[ends[0]].name, b=self.nodes[ends[1]].name)

    @cached_property
    def _by_name(self) -> dict[str, str]:
        return {name.lower(): name for name in self.nodes}

    @cached_property
    def _fed(self) -> frozenset[str]:
        """Nodes that stay live with the outdoor disconnect open, and ground: before it, or fed by the transformer."""
        apart = [element for element in self.elements if not _parts(element)]
        sources = {element.a for element in self.elements if element.kind == "source"}
        return _joined(apart, sources) | {GROUND}

    def _circuit(self, node: str) -> frozenset[str]:
        """Return the nodes on one circuit with this one; a transformer parts its two sides."""
        return next((circuit for circuit in self._circuits if node in circuit), frozenset({node}))

    @cached_property
    def _circuits(self) -> tuple[frozenset[str], ...]:
        sides = [*({e.a, e.b} for e in self.elements), *({e.c, e.d} for e in self.elements if e.c and e.d)]
        found: list[frozenset[str]] = []
        for ends in sides:
            if not any(ends & circuit for circuit in found):
                found.append(_grown(sides, ends))
        return tuple(found)


class WithPoints(Mapping[str, V]):
    """Lists what is curated, and finds pairs of test points by id besides."""

    __slots__ = ("_kind", "_listed", "_points", "_seen")

    def __init__(self, listed: Mapping[str, V], points: TestPoints, kind: type[V]) -> None:
        self._listed: Mapping[str, V] = listed
        self._points = points
        self._kind: type[V] = kind
        self._seen: dict[str, V | None] = {}

    def __getitem__(self, key: str) -> V:
        found = self._listed.get(key) or self._pair(key)
        if found is None:
            raise KeyError(key)
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(self._listed)

    def __len__(self) -> int:
        return len(self._listed)

    def __contains__(self, key: object) -> bool:
        return key in self._listed or (isinstance(key, str) and self._pair(key) is not None)

    def _pair(self, key: str) -> V | None:
        if not is_made(key):
            return None
        if key not in self._seen:
            made = self._points.subject(key) if is_made_subject(key) else self._points.check(key)
            self._seen[key] = made if isinstance(made, self._kind) else None
        return self._seen[key]


def _calling(unit: UnitKind) -> str:
    return next(one.id for one in unit.situations if one.settled and one.call)


def _parts(element: Element) -> bool:
    """True for what an open disconnect or a contactor parts, and for what only insulates."""
    values = element.values
    return bool(values.get("isolates") or values.get("insulates")) or element.kind in {"contact", "source"}


def _joined(elements: Iterable[Element], start: set[str]) -> frozenset[str]:
    """Return the nodes that hang together with ``start`` over these elements, not over ground."""
    return _grown([{end for end in (e.a, e.b, e.c, e.d) if end is not None} - {GROUND} for e in elements], start)


def _grown(listed: Sequence[set[str]], start: set[str]) -> frozenset[str]:
    reached: set[str] = set(start)
    while True:
        grown = reached.union(*(ends for ends in listed if ends & reached))
        if grown == reached:
            return frozenset(reached)
        reached = grown
