"""A fixed order of checks, as on a printed fault-finding chart: what the diagnosis has to beat.

The order is common practice, no source: settings and looks from indoors to outdoors, then supply, control, load, and
last the parts with the unit dead. Where none of that tells, it goes on to air and refrigerant instead of giving up. It
is a generous chart: it leaves off as soon as one repair is likely enough, judges with the same belief, passes over what
cannot be read as the unit is, and is taken through the close-out list in the same way.
"""

from __future__ import annotations

from assistant.reasoning.choice import Standing
from assistant.reasoning.decide import Decider, Options
from assistant.reasoning.diagnosis import CannotTell, CheckNext, Decision, Diagnosis, NoFault, Propose
from assistant.reasoning.gauges.steps import first_step
from assistant.reasoning.tables import HEALTHY

SURE = 0.85

ORDER = (
    "ask_thermostat", "look_blower", "look_lv_fuse", "look_drain", "look_breaker", "look_disconnect", "look_fan",
    "hear_compressor", "look_condenser", "look_contactor", "v_disconnect_line", "v_disconnect_load",
    "v_contactor_line", "v_coil", "v_y_outdoor", "v_hp_switch", "v_lp_switch", "v_r_c", "v_y_c", "v_stat_y",
    "v_xfmr_secondary", "v_xfmr_primary", "v_float", "v_contactor_load", "v_pole_1", "v_pole_2", "a_compressor",
    "a_fan", "look_capacitor", "look_contacts", "look_wiring", "look_disconnect_inside", "uf_herm", "uf_fan",
    "spin_fan", "feel_shell", "r_coil", "r_c_r", "r_c_s", "r_s_r", "r_comp_ground", "r_fan_main", "r_fan_aux",
    "r_fan_ground", "r_fuse_1", "r_fuse_2", "r_hp_switch", "r_lp_switch", "r_control_cable", "a_compressor_start",
    "p_standing",
    # what keeps a house warm though the unit runs: questions first, then looks from the registers to the coil
    "ask_fan_setting", "ask_schedule", "look_stat_place", "ask_load", "ask_size", "look_stat_batteries",
    "look_blower_door", "look_indoor_supply", "ask_house_power", "look_load_switch", "look_leak_board",
    "look_breaker_kind", "look_pump", "look_airflow", "look_filter", "look_registers", "look_indoor_coil",
    "look_damper", "look_ducts", "dt_return", "look_trap", "look_pan", "look_suction_line", "look_cabinet",
    "look_blade", "look_condenser_air", "look_lines", "look_service_valves", "look_oil", "look_bulb",
    # refrigerant: superheat and subcooling first, as on a charging sheet, then what tells their causes apart
    "x_superheat", "x_subcooling", "x_split", "x_suction", "x_condensing", "x_discharge", "dt_drier", "dt_reversing",
    "pump_down", "x_static",
    # the blower's air in detail
    "static_total", "dp_filter", "look_speed", "look_belt", "look_wheel", "look_blower_cap", "look_module", "v_blower",
    "r_blower",
)  # fmt: skip


def fixed_order(diagnosis: Diagnosis, standing: Standing) -> Decision:
    """Return the next check of the chart, or the repair that is likely enough."""
    case = diagnosis.case
    chances = {name: p for name, p in case.repair_probability.items() if name not in case.repairs_done}
    best = max(chances, key=lambda name: chances[name])
    if chances[best] >= SURE:
        return Propose(best, (), chances[best], (), ())
    if case.probability[HEALTHY] >= SURE:
        return NoFault(())
    decider = Decider(case, Options(lambda _: True, (), (), standing))
    for name in ORDER:
        if name in case.tables.checks and name not in case.answered and decider.possible(name):
            step = CheckNext(name, 0.0, decider.minutes(name), "")
            return first_step(case.tables.kb, step, case.gauges, case.latest, case.device)
    return CannotTell((), ())
