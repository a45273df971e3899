"""Rules of the refrigerant and air side, registered beside those of ``formulas``. No numbers of the trade in here."""

from __future__ import annotations

from assistant.physics.grid import look_up

from .formulas import Inputs, Window, _formula


@_formula(needs="tolerance_f")
def table_target(x: Inputs) -> Window:
    """A printed table's value, minus and plus a tolerance; none until both of its inputs were read."""
    if x.table is None:
        raise KeyError("the limit names no table")
    row, column = x.reading(x.table_inputs[0]), x.reading(x.table_inputs[1])
    if row is None or column is None:
        return Window()
    return _around(look_up(x.table, row, column), x)


@_formula(needs="tolerance_f")
def plate_target(x: Inputs) -> Window:
    """A plate value, minus and plus a tolerance."""
    return _around(x.plate_value(), x)


@_formula(needs="tolerance_f", may="from_0_f from_10_f from_13_f from_16_f")
def stepped_target(x: Inputs) -> Window:
    """A target that steps down as a plate value goes up, minus and plus a tolerance: ``from_13_f``, ``from_16_f``."""
    steps = {float(name.split("_")[1]): value for name, value in x.constants.items() if name.startswith("from_")}
    return _around(steps[max(start for start in steps if start <= x.plate_value())], x)


@_formula(needs="high_pct", may="far_high_pct")
def plate_share(x: Inputs) -> Window:
    """Up to a percentage of a plate value, far too high from another one on."""
    far_pct = x.constants.get("far_high_pct")
    rated = x.plate_value()
    return Window(
        low=0.0, high=rated * x.constants["high_pct"] / 100, far_high=None if far_pct is None else rated * far_pct / 100
    )


@_formula(needs="margin_f")
def given_maximum(x: Inputs) -> Window:
    """Up to a maximum that depends on what is in the unit; near it is worth watching. None while it is not known."""
    maximum = x.reading("maximum")
    return Window() if maximum is None else Window(high=maximum, warn_high=maximum - x.constants["margin_f"])


def _around(target: float, x: Inputs) -> Window:
    tolerance = x.constants["tolerance_f"]
    return Window(target - tolerance, target + tolerance)
