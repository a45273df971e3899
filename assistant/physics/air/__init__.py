"""The air side: moist air, airflow, heat moved, static pressure."""

from __future__ import annotations

from .airflow import airflow_per_ton_cfm, electric_heat_airflow_cfm, heater_power_w, nominal_airflow_cfm
from .capacity import (
    BTUH_PER_TON,
    latent_btuh,
    sensible_btuh,
    sensible_factor,
    tons_from_btuh,
    total_btuh,
    total_factor,
)
from .moist import MoistAir, moist_air, wet_bulb_from_humidity_f
from .split import target_temperature_split_f, temperature_split_f
from .static import external_static_in_wc, static_for_ducts_in_wc

__all__ = [
    "BTUH_PER_TON",
    "MoistAir",
    "airflow_per_ton_cfm",
    "electric_heat_airflow_cfm",
    "external_static_in_wc",
    "heater_power_w",
    "latent_btuh",
    "moist_air",
    "nominal_airflow_cfm",
    "sensible_btuh",
    "sensible_factor",
    "static_for_ducts_in_wc",
    "target_temperature_split_f",
    "temperature_split_f",
    "tons_from_btuh",
    "total_btuh",
    "total_factor",
    "wet_bulb_from_humidity_f",
]
