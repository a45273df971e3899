"""The belief: a proper probability, the same however the evidence came."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reasoning.belief import form_belief, repaired
from assistant.reasoning.diagnosis import Diagnosis, Evidence, Repaired, Unwell
from assistant.reasoning.evidence import segments
from assistant.reasoning.likelihood import Likelihood
from assistant.reasoning.tables import HEALTHY, UNKNOWN, compile_tables
from knowledge.base import load

TABLES = compile_tables(load(), "split_psc_240")
LIKELIHOOD = Likelihood(TABLES)


def evidence_of(name: str) -> st.SearchStrategy[Evidence]:
    check = TABLES.checks[name]
    trust = st.sampled_from([1.0, 0.6])
    if check.answers:
        outcomes = st.lists(st.sampled_from([a.outcome for a in check.answers]), min_size=1, max_size=2, unique=True)
        return st.builds(lambda o, t: Evidence(name, outcomes=tuple(o), trust=t), outcomes, trust)
    low, high = check.plausible or (0.0, 500.0)
    values = st.floats(low, min(high, 1e5)).map(lambda v: Evidence(name, value=v))
    if check.quantity == "resistance":
        return st.one_of(values, st.just(Evidence(name, over_limit=True)))
    return values


history = st.lists(
    st.sampled_from(sorted(TABLES.checks)).flatmap(evidence_of), max_size=6, unique_by=lambda evidence: evidence.check
)


def probability(items: list[Evidence | Repaired]) -> np.ndarray:
    return form_belief(TABLES, LIKELIHOOD, items).probability


@settings(max_examples=80, deadline=None)
@given(history)
def test_whatever_is_reported_the_probabilities_sum_to_one(items: list[Evidence]) -> None:
    belief = probability([*items])

    assert belief.sum() == pytest.approx(1)
    assert (belief >= 0).all()


@settings(max_examples=50, deadline=None)
@given(history, st.randoms())
def test_the_order_of_evidence_does_not_matter(items: list[Evidence], random: object) -> None:
    shuffled = list(items)
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    assert probability([*shuffled]) == pytest.approx(probability([*items]), abs=1e-9)


@settings(max_examples=50, deadline=None)
@given(history, st.sampled_from(sorted(TABLES.checks)).flatmap(evidence_of))
def test_what_is_taken_back_leaves_no_trace(items: list[Evidence], extra: Evidence) -> None:
    others = [item for item in items if item.check != extra.check]
    with_it = Diagnosis(TABLES, [*others, extra])
    assert with_it.case.probability.sum() == pytest.approx(1)

    without = Diagnosis(TABLES, others).case
    assert without.probability == pytest.approx(probability([*without.history]), abs=0)


def test_the_same_check_again_replaces_and_does_not_multiply() -> None:
    counted = probability([Evidence("v_contactor_load", value=0.0, times=2)])
    many = probability([Evidence("v_contactor_load", value=0.0)] * 6)
    twice = probability([Evidence("v_contactor_load", value=0.0)] * 2)

    assert many == pytest.approx(twice)
    assert counted == pytest.approx(twice)


def test_two_takes_that_disagree_count_both_and_a_third_decides() -> None:
    dead, live = Evidence("v_contactor_load", value=0.0), Evidence("v_contactor_load", value=238.0)

    assert probability([live, dead]) == pytest.approx(probability([dead, live]))
    assert probability([live, dead, dead]) == pytest.approx(probability([dead, dead]))
    assert probability([live, dead, live]) == pytest.approx(probability([live, live]))


def test_what_as_many_takes_say_stands_beside_the_last_until_another_decides() -> None:
    takes = [Evidence("look_ducts", outcomes=(seen,)) for seen in ("leaking", "leaking", "tight", "tight")]

    (tied,) = segments(takes)
    assert tied.disputed == {"look_ducts"}
    assert not tied.settled

    (decided,) = segments([*takes, takes[0]])
    assert decided.settled == {"look_ducts"}
    assert [one.outcomes for one, _ in decided.takes["look_ducts"]] == [("leaking",)]


def test_ice_that_has_gone_does_not_contradict_the_dirt_under_it() -> None:
    iced, dirty = (Evidence("look_indoor_coil", outcomes=(seen,)) for seen in ("iced", "dirty"))

    case = Diagnosis(TABLES, [iced, iced, dirty]).case
    assert case.answered["look_indoor_coil"].outcomes == ("dirty",)
    assert "look_indoor_coil" not in case.disputed | case.settled

    without_ice = Diagnosis(TABLES, [dirty]).case
    assert case.repair_probability["clean_evaporator"] > without_ice.repair_probability["clean_evaporator"]


def test_takes_that_disagree_do_not_speak_for_an_unknown_fault() -> None:
    """No fault, known or not, lets one pair of terminals read supply and nothing: one of the takes was wrong."""
    dead, live = Evidence("v_contactor_load", value=0.0), Evidence("v_contactor_load", value=238.0)

    assert probability([live, dead])[UNKNOWN] < max(probability([live])[UNKNOWN], probability([dead])[UNKNOWN]) + 0.02


def test_a_reading_taken_twice_is_trusted_more() -> None:
    once, twice = (probability([Evidence("uf_herm", value=0.0, times=n)]) for n in (1, 2))
    open_cap = TABLES.row_of[("cap_herm_open",)]

    assert twice[open_cap] > once[open_cap]


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(sorted(TABLES.checks)).flatmap(evidence_of))
def test_a_hedged_finding_moves_the_belief_less(item: Evidence) -> None:
    sure = Evidence(item.check, item.value, over_limit=item.over_limit, outcomes=item.outcomes)
    unsure = Evidence(item.check, item.value, over_limit=item.over_limit, outcomes=item.outcomes, trust=0.5)
    moved = [np.abs(probability([e]) - TABLES.prior).sum() for e in (sure, unsure)]

    assert moved[1] <= moved[0] + 1e-9


def test_a_finding_without_trust_says_nothing() -> None:
    assert probability([Evidence("look_fan", outcomes=("still",), trust=0.0)]) == pytest.approx(TABLES.prior)


def test_a_range_lies_between_its_ends() -> None:
    ends = [probability([Evidence("uf_herm", value=v)]) for v in (17.0, 19.0)]
    between = probability([Evidence("uf_herm", value=17.0, high=19.0)])
    weak = TABLES.alone["cap_herm_weak"]

    assert between[weak].sum() == pytest.approx(np.mean([e[weak].sum() for e in ends]), abs=0.05)


def test_above_a_megohm_is_as_good_as_open() -> None:
    assert probability([Evidence("r_comp_ground", value=20e6)]) == pytest.approx(
        probability([Evidence("r_comp_ground", over_limit=True)])
    )


def test_a_capacitor_is_judged_by_its_own_marking() -> None:
    """35 µF is sound on a marked 35 and far gone on a marked 55."""
    item = Evidence("uf_herm", value=35.0)
    small, large = (Diagnosis(TABLES, [item], plate={"cap_herm_uf": uf}).case.fault_probability for uf in (35.0, 55.0))
    unknown = Diagnosis(TABLES, [item]).case.fault_probability

    assert small["cap_herm_weak"] < TABLES.has_fault[TABLES.fault_ids.index("cap_herm_weak")] @ TABLES.prior
    assert large["cap_herm_weak"] > 0.5
    assert small["cap_herm_weak"] < unknown["cap_herm_weak"] < large["cap_herm_weak"]


def test_a_complaint_is_weak_evidence_and_gives_way_to_a_look() -> None:
    told = Diagnosis(TABLES, [], complaints=["fan_on_comp_off"]).case.fault_probability
    seen = [Evidence("look_fan", outcomes=("still",)), Evidence("hear_compressor", outcomes=("silent",))]
    looked = Diagnosis(TABLES, seen, complaints=["fan_on_comp_off"]).case.probability

    assert told["cap_herm_open"] > 2 * TABLES.prior[TABLES.row_of[("cap_herm_open",)]]
    # but for what nobody complained of
    assert looked == pytest.approx(Diagnosis(TABLES, seen).case.probability, abs=2e-4)


def test_repairing_the_root_leaves_a_healthy_unit_once_it_runs() -> None:
    items = [
        Evidence("look_fan", outcomes=("humming",)),
        Evidence("uf_fan", value=0.0),
        Repaired("replace_capacitor"),
        Evidence("look_fan", outcomes=("turning",)),
        Evidence("hear_compressor", outcomes=("running",)),
    ]

    assert probability(items)[HEALTHY] > 0.8


def test_a_new_fuse_does_not_cure_a_grounded_winding() -> None:
    """Repairing only a consequence leaves the root: the next fuse opens too."""
    before = [Evidence("v_fuse_1", value=238.0), Evidence("r_comp_ground", value=1.4)]
    root = TABLES.alone["comp_grounded"]
    belief = probability(before)
    pushed = repaired(TABLES, belief, "replace_fuses")
    after = probability([*before, Repaired("replace_fuses"), Evidence("v_fuse_1", value=238.0)])

    assert pushed[root].sum() >= belief[root].sum() - 1e-9
    assert after[root].sum() > 0.85


@pytest.mark.parametrize("repair", sorted({TABLES.kb.faults[fault].repair for fault in TABLES.fault_ids}))
def test_a_repair_keeps_the_sum_and_removes_its_faults(repair: str) -> None:
    pushed = repaired(TABLES, TABLES.prior, repair)
    mine = [f for f in TABLES.fault_ids if TABLES.kb.faults[f].repair == repair]
    left = sum(pushed[TABLES.alone[f]].sum() for f in mine)
    before = sum(TABLES.prior[TABLES.alone[f]].sum() for f in mine)

    assert pushed.sum() == pytest.approx(1)
    assert left < 0.2 * before
    assert pushed[UNKNOWN] == pytest.approx(TABLES.prior[UNKNOWN])


def test_an_answer_that_names_no_outcome_is_refused() -> None:
    with pytest.raises(ValueError, match="look_fan"):
        LIKELIHOOD.fit(Evidence("look_fan", outcomes=("purple",)))


def test_an_unknown_check_is_refused_by_name() -> None:
    with pytest.raises(KeyError, match="v_moon"):
        LIKELIHOOD.fit(Evidence("v_moon", value=1.0))


def test_healthy_readings_of_all_checks_leave_a_healthy_unit(plate: dict[str, float]) -> None:
    items = []
    for name, check in TABLES.checks.items():
        if check.answers:
            best = int(np.argmax(TABLES.seen(name)[HEALTHY]))
            items.append(Evidence(name, outcomes=(check.answers[best].outcome,)))
        else:
            value = Diagnosis(TABLES, []).expected(name).healthy_value
            items.append(Evidence(name, value=value, over_limit=value is None))

    assert Diagnosis(TABLES, items, plate=plate).case.probability[HEALTHY] > 0.9


def test_after_a_repair_nobody_suspects_what_nobody_complained_of() -> None:
    """A rattling panel is noticed as noise: another repair does not bring it up unasked."""
    done: list[Evidence | Repaired] = [Evidence("uf_fan", value=0.0), Repaired("replace_capacitor")]
    panel = TABLES.has_fault[TABLES.fault_ids.index("cabinet_loose")]

    quiet, noisy = (
        float(panel @ form_belief(TABLES, LIKELIHOOD, done, complaints).probability)
        for complaints in (("not_cooling",), ("not_cooling", "noisy"))
    )

    assert quiet < 0.2 * noisy


def test_what_leaves_the_air_cold_does_not_explain_a_bad_split() -> None:
    """A fan switch left on ON warms no supply air; a low charge does."""
    runs = [Evidence("look_fan", outcomes=("turning",)), Evidence("hear_compressor", outcomes=("running",))]
    always = Evidence("ask_fan_setting", outcomes=("always",))
    done = [Evidence("uf_fan", value=0.0), Repaired("replace_capacitor"), *runs, always]
    switch, charge = (TABLES.has_fault[TABLES.fault_ids.index(name)] for name in ("fan_always_on", "undercharge"))

    looks, unit = (form_belief(TABLES, LIKELIHOOD, done, unwell=how).probability for how in (Unwell.LOOKS, Unwell.UNIT))

    assert switch @ looks > charge @ looks
    assert switch @ unit < charge @ unit


def test_what_was_found_before_a_repair_points_at_a_second_fault_that_is_no_pair_with_it() -> None:
    """A blower that stood when the charge was found lost stands for some reason, though not every pair is a row."""
    rows = {frozenset(row.faults) for row in TABLES.rows}
    assert frozenset({"charge_lost", "blower_module_failed"}) not in rows
    lost = [Evidence("p_standing", outcomes=("lost",)), Evidence("p_standing", outcomes=("lost",))]
    stood = [Evidence("look_blower", outcomes=("not_running",)), Evidence("look_blower", outcomes=("not_running",))]
    module = TABLES.alone["blower_module_failed"]
    after = probability([*lost, *stood, Repaired("refer_leak")])[module].sum()
    assert after > 5 * probability([*lost, Repaired("refer_leak")])[module].sum()
    seen = [Evidence("look_blower", outcomes=("running",))]
    again = probability([*lost, *stood, Repaired("refer_leak"), *seen])[module].sum()
    assert again < after
