"""What the limits hand out: a window with its pedigree, and a verdict on a reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import floor, log10


@dataclass(frozen=True, slots=True)
class LimitResult:
    """What a quantity should read here. Bounds are rounded as a meter shows them, None for none."""

    id: str
    name: str
    quantity: str
    about: str | None
    """Subject, where the limit was asked for one."""
    low: float | None
    high: float | None
    unit: str
    """Canonical unit of the quantity; seconds for the discharge time."""
    shown: str
    """The formula as a technician would write it."""
    validity: str
    sources: tuple[str, ...]
    typical: tuple[str, ...] = ()
    """Plate items for which a typical value had to be assumed."""
    assumed: tuple[str, ...] = ()
    """The same as words: ``HERM capacitance 45 µF``."""
    missing: tuple[str, ...] = ()
    """Plate items without which there is no window at all."""
    warn_low: float | None = None
    """Inside the limit but below this: worth watching."""
    warn_high: float | None = None
    far_high: float | None = None
    """From here on it is something else: locked rotor, open circuit."""
    certain_low: float | None = None
    """While plate values are only typical: wrong below this whatever the plate says."""
    certain_high: float | None = None
    problem: str = ""
    """Why there is no window although the plate is known: a value the formula does not hold for."""
    meter_pct: float = 0.0
    """Worst-case meter error in percent of reading; no verdict closer to a bound than this."""
    meter_abs: float = 0.0
    condemns: bool = True
    open_condemns: bool = True
    worded: str = ""
    """The window in words where it is shown in another unit; empty for the bounds themselves."""
    says: Mapping[str, str] = field(default_factory=dict, compare=False, hash=False)
    """What follows for the technician, by outcome."""

    def with_bounds(self, change: Callable[[float], float]) -> LimitResult:
        """Return the limit with every bound that there is changed."""

        def changed(bound: float | None) -> float | None:
            return None if bound is None else change(bound)

        return replace(
            self,
            low=changed(self.low),
            high=changed(self.high),
            warn_low=changed(self.warn_low),
            warn_high=changed(self.warn_high),
            far_high=changed(self.far_high),
            certain_low=changed(self.certain_low),
            certain_high=changed(self.certain_high),
        )

    @property
    def window(self) -> str:
        """The window in words: ``42.3 to 47.7 µF``, ``at least 2 MΩ``, ``up to 0.3 V``; empty for none."""
        if self.worded:
            return self.worded
        low, high = self.low, self.high
        if low is not None and high is not None and low == high:
            return figure(low, self.unit)
        if high is not None:
            return span(low, high, self.unit) if low else f"up to {figure(high, self.unit)}"
        return "" if low is None else f"at least {figure(low, self.unit)}"


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a reading stands to its limit."""

    word: str
    """``in range``, ``low``, ``high``, ``borderline``, ``open``; empty for nothing to compare with."""
    ok: bool | None
    """True: as a good unit reads. False: wrong. None: this reading alone cannot say."""
    sentence: str


def rounded(value: float) -> float:
    """Return the value to a digit or two beyond the meter: 42.3, not 42.300000000000004."""
    size = abs(value)
    if size >= 1:
        return round(value, 1 if size >= 20 else 2)
    return round(value, 2 - floor(log10(size))) if size else 0.0


def figure(value: float, unit: str) -> str:
    """Return a value with its unit as read off a meter: ``42.3 µF``, ``2 MΩ``, ``0.3 V``."""
    factor, prefix = _scale(value, unit)
    return f"{_digits(value / factor)} {prefix}{unit}".rstrip()


def span(low: float | None, high: float, unit: str) -> str:
    """Return two values with one unit: ``42.3 to 47.7 µF``."""
    factor, prefix = _scale(high, unit)
    return f"{_digits((low or 0.0) / factor)} to {_digits(high / factor)} {prefix}{unit}".rstrip()


def _scale(value: float, unit: str) -> tuple[float, str]:
    """Resistance spans ten decades, so it alone is shown with kilo and mega."""
    if unit == "Ω":
        for factor, prefix in ((1e6, "M"), (1e3, "k")):
            if abs(value) >= factor:
                return factor, prefix
    return 1.0, ""


def _digits(value: float) -> str:
    return f"{rounded(value):.10f}".rstrip("0").rstrip(".")
