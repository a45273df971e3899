"""Saturation properties of a refrigerant on a grid, from CoolProp (a development dependency)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from CoolProp.CoolProp import PropsSI
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Fluid:
    """Arrays over the saturation temperature ``t`` in kelvin; SI units."""

    t: Floats
    p: Floats
    """Pa; dew and bubble taken as one, which is right within 0.3 K for R-22 and R-410A."""
    hf: Floats
    hg: Floats
    rho_l: Floats
    rho_v: Floats
    cp_v: Floats
    gamma: Floats
    """Isentropic exponent that gives the real isentropic temperature and work near the dew line."""

    def at(self, name: str, t: float) -> float:
        """Return one property at a saturation temperature in kelvin."""
        return float(np.interp(t, self.t, getattr(self, name)))

    def t_of_p(self, p: float) -> float:
        """Return the saturation temperature in kelvin at a pressure in Pa."""
        return float(np.interp(np.log(p), np.log(self.p), self.t))


@lru_cache(maxsize=4)
def fluid(name: str) -> Fluid:
    """Return the properties of one refrigerant by its CoolProp name (``R410A``, ``R22``)."""
    t = np.linspace(215.0, 342.0, 128)
    get = lambda out, q: np.array([PropsSI(out, "T", x, "Q", q, name) for x in t])  # noqa: E731
    p, rho = get("P", 1), get("D", 1)
    gamma = np.array([PropsSI("ISENTROPIC_EXPANSION_COEFFICIENT", "T", x, "Q", 1, name) for x in t])
    return Fluid(t, p, get("H", 0), get("H", 1), get("D", 0), rho, get("C", 1), gamma)
