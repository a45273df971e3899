"""A steady residential cooling system: compressor, two-zone evaporator, condenser with a liquid zone, metering, charge.

Textbook pieces put together (effectiveness-NTU coils, volumetric efficiency, orifice equation, charge inventory); all
constants are typical values chosen here, none is measured. It gives directions and rough sizes of what a fault does
to gauges and thermometers; it is no design tool. Source: derived.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from scipy.optimize import least_squares

from .fluid import Floats, Fluid, fluid

CP_AIR = 1006.0
COMPRESSION = {"R410A": 0.194, "R22": 0.202}
"""Exponents of ``tests.compression``, rounded."""
RHO_AIR = 1.15


@dataclass(frozen=True)
class Design:
    """A sound unit of about 3 tons; SI units, temperatures in kelvin."""

    refrigerant: str = "R410A"
    device: Literal["orifice", "txv"] = "orifice"
    swept: float = 1.85e-3
    """m3/s"""
    clearance: float = 0.035
    isentropic: float = 0.70
    ua_evap: float = 1650.0
    ua_vapour: float = 520.0
    ua_cond: float = 2100.0
    ua_liquid: float = 420.0
    air_evap: float = 0.57
    """m3/s (1200 cfm)"""
    air_cond: float = 1.30
    volume_evap: float = 2.4e-3
    volume_cond: float = 3.4e-3
    volume_line: float = 0.9e-3
    superheat: float = 5.5
    """K that a TXV holds."""
    txv_reserve: float = 1.35
    """Largest opening of a TXV over its opening at the rating point."""
    design_superheat: float = 6.5
    design_subcooling: float = 5.5
    air_exponent: float = 0.55


@dataclass(frozen=True)
class Weather:
    """Kelvin and shares."""

    outdoor: float = 308.15
    indoor: float = 299.8
    humidity: float = 0.5
    pressure: float = 101325.0
    """Pa of the air: at height the same fans move less of it."""

    @property
    def density(self) -> float:
        """Air density as a share of that at sea level."""
        return self.pressure / 101325.0


@dataclass(frozen=True)
class Faults:
    """What differs from the sound unit; 1 or 0 = sound."""

    charge: float = 1.0
    air_evap: float = 1.0
    air_cond: float = 1.0
    ua_cond: float = 1.0
    recirculated: float = 0.0
    """Share of the condenser's own rise that comes back into it."""
    restriction: float = 0.0
    """Pressure lost ahead of the metering device, share of the pressure difference at design flow."""
    valve: float = 1.0
    """Opening of the metering device as a factor."""
    leak: float = 0.0
    """Share of the compressor's flow that leaks back inside it."""
    hot_gas: float = 0.0
    """Share of the flow that a reversing valve passes from discharge to suction."""
    air_pa: float = 0.0
    """Partial pressure of non-condensables in the condenser."""


@dataclass(frozen=True)
class Shown:
    """What gauges and thermometers at the unit show: degrees F, and amps as a share of the sound unit's."""

    suction: float
    superheat: float
    condensing: float
    subcooling: float
    discharge: float
    split: float
    amps: float
    ratio: float
    capacity: float
    compressed: float
    """Discharge line over what the compression of the suction gas makes: T1 (p2 / p1)^m."""


def saturated_w(t: float, pressure: float = 101325.0) -> float:
    """Return kg/kg of saturated air at a pressure in Pa (Magnus formula, from memory)."""
    c = t - 273.15
    pv = 611.2 * np.exp(17.62 * c / (243.12 + c))
    return float(0.622 * pv / (pressure - pv))


def air_enthalpy(t: float, w: float) -> float:
    """Return J/kg of moist air."""
    c = t - 273.15
    return 1006.0 * c + w * (2.501e6 + 1860.0 * c)


@dataclass
class System:
    """One unit, sized at 95 F outdoors so that its orifice and charge give the design superheat and subcooling."""

    design: Design = field(default_factory=Design)

    def __post_init__(self) -> None:
        self.fluid: Fluid = fluid(self.design.refrigerant)
        self.orifice, self.charge, self.amps = 1.0, 1.0, 1.0
        self._size()

    # -- one state -------------------------------------------------------------------------------------------------

    def _state(self, x: Floats, weather: Weather, faults: Faults) -> dict[str, float]:
        """Return everything that follows from (evaporating, condensing, superheat, liquid share of the condenser)."""
        d, f = self.design, self.fluid
        te, tc, sh, g = (float(v) for v in x)
        quality, g = max(-g, 0.0), min(max(g, 0.0), 0.9)  # below zero: vapour leaves the condenser with the liquid
        pe, pc = f.at("p", te), f.at("p", tc) + faults.air_pa
        ratio = pc / pe
        hg, rho = f.at("hg", te), f.at("rho_v", te)
        h1, rho1 = hg + f.at("cp_v", te) * sh, rho * te / (te + max(sh, 0.0))
        if sh < 0:  # wet suction: superheat below zero stands for liquid in the vapour
            rho1 = rho * (1.0 - sh / 60.0)
        n = f.at("gamma", 0.5 * (te + tc))
        if faults.hot_gas:
            h1 += faults.hot_gas / (1.0 - faults.hot_gas) * 45e3
            rho1 *= 1.0 - 0.35 * faults.hot_gas
        filling = max(1.0 - d.clearance * (ratio ** (1.0 / n) - 1.0), 0.3)
        pumped = rho1 * d.swept * filling * (1.0 - faults.leak)
        flow = pumped * (1.0 - faults.hot_gas)
        work = n / (n - 1.0) * pe / rho1 * (ratio ** ((n - 1.0) / n) - 1.0) / d.isentropic
        h2 = h1 + work * (1.0 + 0.6 * faults.leak)
        hf = f.at("hf", tc)
        outdoor = weather.outdoor
        q_cond_guess = pumped * (h2 - hf - quality * (f.at("hg", tc) - hf)) * (1.0 - faults.hot_gas)
        air_c = d.air_cond * faults.air_cond * weather.density * RHO_AIR * CP_AIR
        outdoor += faults.recirculated / (1.0 - faults.recirculated) * q_cond_guess / air_c
        ua_c = d.ua_cond * faults.ua_cond * (faults.air_cond * weather.density) ** d.air_exponent
        gas = (1.0 - g) * ua_c
        q_cond = air_c * (1.0 - np.exp(-gas / air_c)) * (tc - outdoor)
        cp_l = 1750.0 if d.refrigerant == "R410A" else 1300.0
        sc = (tc - outdoor) * (
            1.0 - np.exp(-d.ua_liquid * (faults.air_cond * weather.density) ** 0.4 * g / (flow * cp_l))
        )
        latent = f.at("hg", tc) - hf
        h3 = hf - cp_l * sc + quality * latent
        dp = pc - pe
        lost = faults.restriction * dp
        flashed = max(0.0, lost - (pc - f.at("p", tc - sc))) / dp
        area = self.orifice * faults.valve
        through = area * np.sqrt(2.0 * f.at("rho_l", tc - sc) * max(dp - lost, 1e3))
        through *= (1.0 + 0.012 * sc) * (1.0 - 0.55 * min(flashed, 0.9) ** 0.5)
        leaving_rho = 1.0 / (quality / f.at("rho_v", tc) + (1.0 - quality) / f.at("rho_l", tc - sc))
        through *= (leaving_rho / f.at("rho_l", tc - sc)) ** 0.5
        boiling, made, leaving, need = self._coil(te, flow, hg - h3, weather, faults)
        void_e = 0.88 * f.at("rho_v", te) + 0.12 * f.at("rho_l", te)
        wet_share = min(boiling, 1.0)
        held = d.volume_evap * (wet_share * void_e + (1.0 - wet_share) * f.at("rho_v", te))
        mix_c = 0.72 * f.at("rho_v", tc) + 0.28 * f.at("rho_l", tc)
        held += d.volume_cond * ((1.0 - g) * mix_c + g * f.at("rho_l", tc)) + d.volume_line * leaving_rho
        return {
            "flow": flow, "through": through, "q_cond": q_cond, "q_need": q_cond_guess, "made": made, "held": held,
            "sc": sc, "pe": pe, "pc": pc, "h2": h2, "leaving": leaving, "work": pumped * work, "q": need, "sh": sh,
        }  # fmt: skip

    def _coil(
        self, te: float, flow: float, rise: float, weather: Weather, faults: Faults
    ) -> tuple[float, float, float, float]:
        """Return the boiling share of the coil, superheat in K, leaving air in K, and the heat taken up in W."""
        d, f = self.design, self.fluid
        m_air = d.air_evap * faults.air_evap * weather.density * RHO_AIR
        w_in, w_coil = (
            weather.humidity * saturated_w(weather.indoor, weather.pressure),
            saturated_w(te, weather.pressure),
        )
        wet = air_enthalpy(weather.indoor, w_in) > air_enthalpy(te, w_coil) and w_in > w_coil
        ua_e = d.ua_evap * (faults.air_evap * weather.density) ** d.air_exponent
        ntu = ua_e / (m_air * CP_AIR)
        need = flow * rise
        if wet:
            drive = m_air * (air_enthalpy(weather.indoor, w_in) - air_enthalpy(te, w_coil))
        else:
            drive = m_air * CP_AIR * (weather.indoor - te)
        share = need / max(drive, 1.0)
        boiling = -np.log(max(1.0 - share, 1e-6)) / ntu
        spare = 1.0 - boiling
        made = (weather.indoor - te) * (1.0 - np.exp(-d.ua_vapour * max(spare, 0.0) / (flow * f.at("cp_v", te))))
        if spare < 0:
            made = 40.0 * spare
        bypass = np.exp(-ntu * min(boiling, 1.0))
        leaving = te + (weather.indoor - te) * (bypass + (1.0 - bypass) * 0.16)
        return boiling, float(made), float(leaving), need

    def _solve(self, weather: Weather, faults: Faults, device: str) -> tuple[Floats, dict[str, float]]:
        def off(x: Floats, *, held_superheat: bool) -> Floats:
            s = self._state(x, weather, faults)
            metering = (s["through"] - s["flow"]) / s["flow"]
            if held_superheat:
                metering = (x[2] - self.design.superheat) / 5.0
            return np.array(
                [
                    metering,
                    (s["q_cond"] - s["q_need"]) / s["q_need"],
                    (s["made"] - x[2]) / 5.0,
                    (s["held"] - self.charge * faults.charge) / self.charge * 3.0,
                ]
            )

        low = np.array([218.0, weather.outdoor + 1.0, -70.0, -0.5])
        high = np.array([weather.indoor - 1.0, 341.0, 60.0, 0.85])
        best = None
        for start in ([279.0, weather.outdoor + 12, 6.0, 0.15], [268.0, weather.outdoor + 8, 15.0, -0.02],
                      [283.0, weather.outdoor + 16, 1.0, 0.35]):  # fmt: skip
            x0 = np.clip(np.array(start), low + 0.01, high - 0.01)
            args = {"held_superheat": device == "txv"}
            found = least_squares(off, x0, bounds=(low, high), kwargs=args, x_scale=[5, 5, 5, 0.1], max_nfev=200)
            if best is None or found.cost < best.cost:
                best = found
            if best.cost < 1e-6:
                break
        assert best is not None
        return best.x, self._state(best.x, weather, faults) | {"cost": float(best.cost)}

    def _size(self) -> None:
        """Set orifice and charge so that the design superheat and subcooling come out at the rating point."""
        weather, d = Weather(), self.design

        def off(x: Floats) -> Floats:
            s = self._state(np.array([x[0], x[1], d.design_superheat, x[2]]), weather, Faults())
            return np.array(
                [
                    (s["q_cond"] - s["q_need"]) / s["q_need"],
                    (s["made"] - d.design_superheat) / 5.0,
                    (s["sc"] - d.design_subcooling) / 5.0,
                ]
            )

        bounds = ([260.0, 309.5, 0.0], [295.0, 335.0, 0.8])
        x = least_squares(off, [280.0, 320.0, 0.15], bounds=bounds, x_scale=[5, 5, 0.1]).x
        s = self._state(np.array([x[0], x[1], d.design_superheat, x[2]]), weather, Faults())
        self.orifice *= s["flow"] / s["through"]
        self.charge, self.amps = s["held"], s["work"]
        if d.device == "txv":
            self.orifice *= d.txv_reserve

    # -- what is read ----------------------------------------------------------------------------------------------

    def run(self, weather: Weather | None = None, faults: Faults | None = None) -> Shown | None:
        """Return what is read in steady running; None where no steady state was found."""
        weather, faults = weather or Weather(), faults or Faults()
        x, s = self._solve(weather, faults, self.design.device)
        if self.design.device == "txv" and (s["through"] < s["flow"] * 0.999 or faults.valve > 1.0):
            x, s = self._solve(weather, faults, "orifice")  # wide open, or stuck open: it holds nothing any more
        if s["cost"] > 3e-3:
            return None
        te, tc, sh = float(x[0]), float(x[1]), float(x[2])
        seen_tc = self.fluid.t_of_p(s["pc"])
        sc = seen_tc - (tc - s["sc"])
        tdis = seen_tc + (s["h2"] - self.fluid.at("hg", tc)) / (self.fluid.at("cp_v", tc) * 0.82)
        k = 1.8  # kelvin to degrees F
        amps = 0.35 + 0.65 * s["work"] / self.amps
        tdis, ratio = max(tdis, seen_tc + 3.0), s["pc"] / s["pe"]
        made = (te + max(sh, 0.0)) * ratio ** COMPRESSION[self.design.refrigerant]
        return Shown(
            te * k - 459.67, max(sh, 0.0) * k, seen_tc * k - 459.67, sc * k, tdis * k - 459.67,
            (weather.indoor - s["leaving"]) * k, amps, ratio, s["q"], (tdis - made) * k,
        )  # fmt: skip


def shifted(system: System, weather: Weather, faults: Faults) -> dict[str, float] | None:
    """Return what a fault shifts against the same sound unit in the same weather; None where either has no state."""
    good, bad = system.run(weather), system.run(weather, faults)
    if good is None or bad is None:
        return None
    out = {name: getattr(bad, name) - getattr(good, name) for name in
           ("suction", "superheat", "condensing", "subcooling", "discharge", "compressed", "split")}  # fmt: skip
    out["amps"] = (bad.amps / good.amps - 1.0) * 100.0
    out["ratio"] = bad.ratio - good.ratio
    out["capacity"] = (bad.capacity / good.capacity - 1.0) * 100.0
    return out


__all__ = ["Design", "Faults", "Shown", "System", "Weather", "replace", "shifted"]
