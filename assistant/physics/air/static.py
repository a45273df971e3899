"""Static pressure: what the blower works against, in inches of water column."""

from __future__ import annotations

from assistant.physics.errors import within

_MOST_IN_WC = 5


def external_static_in_wc(supply_in_wc: float, return_in_wc: float) -> float:
    """Return the total external static pressure in in. w.c.: supply plus the amount of the return.

    Supply after the rated cabinet (0 to 5), return before it (-5 to 5, its sign does not matter: a return side
    is below the room). Running at the cooling speed. Source: practice.
    """
    within("supply static", supply_in_wc, 0, _MOST_IN_WC, "in. w.c.")
    within("return static", return_in_wc, -_MOST_IN_WC, _MOST_IN_WC, "in. w.c.")
    return supply_in_wc + abs(return_in_wc)


def static_for_ducts_in_wc(rated_in_wc: float, *drops_in_wc: float) -> float:
    """Return what is left for the ducts in in. w.c.: the rating less the drops outside the rated cabinet.

    Drops (filter, coil, grilles) and rating 0 to 5 in. w.c.; negative: nothing is left. Source: practice.
    """
    within("rated static", rated_in_wc, 0, _MOST_IN_WC, "in. w.c.")
    return rated_in_wc - sum(within("pressure drop", drop, 0, _MOST_IN_WC, "in. w.c.") for drop in drops_in_wc)
