"""The linter: the shipped knowledge is clean, and every rule notices what it is for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from knowledge import load
from knowledge.base import DATA
from knowledge.lint import FAILING, RULES, Severity, lint, summary
from knowledge.lint.files import EXCEPTIONS, read_exceptions
from knowledge.lint.run import UNUSED
from knowledge.models.source import Known
from tests.knowledge.doctored import Doctored, line_text

Doctor = Callable[[Doctored], Any]

NOT_LOOKED = {"kind": "sense", "normally": {"clean": 0.9, "dirty": 0.3}}
TWO_WORDS = [
    {"outcome": "clean", "name": "clean", "states": ["clean"]},
    {"outcome": "dirty", "name": "dirty", "states": ["clean", "dirty"]},
]

NOT_THERE = {"modes": ["ground"], "why": "It is made as well."}
ONE_PHASE = [{"phase": "intake", "name": "Intake", "says": "What is wrong?"}]
LONG = "Stop, stop, stop and do not touch anything wet in there at all."
WORDY = "Is it on or is it off or is it on, is it?"


def changed(kind: str, entry_id: str, **fields: Any) -> Doctor:
    return lambda copy: copy.change(kind, entry_id, **fields)


def added(kind: str, like: str, **fields: Any) -> Doctor:
    return lambda copy: copy.add(kind, like, **fields)


def forget(element: str) -> Doctor:
    def without(copy: Doctored) -> None:
        path, data, generated = copy.at("generated", "")
        for group in generated["groups"]:
            group["elements"] = [name for name in group["elements"] if name != element]
        copy.put(path, data)

    return without


def extra(path: Path) -> None:
    path.parent.mkdir()
    path.write_text("checks: []\n", encoding="utf-8")


DOCTORED: list[tuple[str, str, Doctor]] = [
    ("check-answered", "check:v_coil", changed("check", "v_coil", quantity=None)),
    ("check-answered", "check:look_condenser", changed("check", "look_condenser", answers=TWO_WORDS)),
    ("check-answered", "check:look_drain", changed("check", "look_drain", yes=["full"], no=["full", "dry"])),
    ("check-answered", "check:look_drain", changed("check", "look_drain", yes=["full"], no=None)),
    ("check-shares", "check:look_condenser", changed("check", "look_condenser", measure=NOT_LOOKED)),
    ("live-guarded", "check:v_coil", changed("check", "v_coil", tools=[])),
    ("live-guarded", "check:v_coil", changed("check", "v_coil", covers_off=False, setup="outdoors")),
    ("setup-fits", "check:uf_herm", changed("check", "uf_herm", setup="live_outdoor")),
    ("setup-fits", "check:look_capacitor", changed("check", "look_capacitor", needs="any", setup="outdoors")),
    ("ohms-dead", "check:uf_herm", changed("check", "uf_herm", needs="dead")),
    ("ohms-dead", "check:r_fan_aux", changed("check", "r_fan_aux", needs="dead")),
    ("ohms-dead", "check:r_coil", changed("check", "r_coil", needs="live")),
    ("numeric-judged", "check:v_coil", changed("check", "v_coil", limit=None)),
    ("limit-quantity", "check:v_coil", changed("check", "v_coil", limit="coil_ohms")),
    ("limit-quantity", "check:uf_fan", changed("check", "uf_fan", about="fan_blade")),
    ("limit-quantity", "close_out:prove_volts", changed("close_out", "prove_volts", limit="fan_amps")),
    ("check-used", "check:look_again", added("check", "look_condenser", id="look_again", name="coil again")),
    ("check-id", "check:coil_volts", added("check", "v_coil", id="coil_volts", name="coil volts again")),
    ("fault-visible", "fault:coil_open", changed("fault", "coil_open", sets=None)),
    (
        "fault-provable",
        "fault:hp_switch_failed",
        changed("repair", "replace_hp_switch", confirm=["look_drain"], given=None),
    ),
    ("fault-shares", "fault:coil_open", changed("fault", "coil_open", prior=0)),
    (
        "fault-shares",
        "fault:drain_blocked",
        changed("fault", "drain_blocked", shows={"look_drain": {"full": 0.5, "dry": 0.6}}),
    ),
    ("fault-shares", "complaint:noisy", changed("complaint", "noisy", trust=0)),
    ("element-fails", "generated", forget("whip_1")),
    ("element-fails", "generated", changed("generated", "", not_made=[{**NOT_THERE, "elements": ["lead_c"]}])),
    ("repair-used", "repair:paint_it", added("repair", "replace_contactor", id="paint_it", name="paint it")),
    ("repair-confirmed", "repair:clear_drain", changed("repair", "clear_drain", confirm=[])),
    ("repair-power", "repair:replace_contactor", changed("repair", "replace_contactor", needs="any")),
    ("repair-power", "repair:clear_drain", changed("repair", "clear_drain", needs="live")),
    ("repair-floor", "repair:replace_compressor", changed("repair", "replace_compressor", floor=0.55)),
    ("repair-floor", "repair:set_thermostat", changed("repair", "set_thermostat", floor=0.4)),
    ("repair-floor", "repair:set_thermostat", changed("repair", "set_thermostat", floor=1)),
    ("minutes-positive", "check:v_coil", changed("check", "v_coil", minutes=0)),
    ("minutes-positive", "wait:equalise", changed("wait", "equalise", minutes=-1)),
    ("stop-triggered", "stop:comp_grounded", changed("stop", "comp_grounded", below=None)),
    ("stop-triggered", "stop:comp_grounded", changed("stop", "comp_grounded", about="wiring", states=["burnt"])),
    ("stop-triggered", "stop:wet_electrics", changed("stop", "wet_electrics", forbids=[])),
    ("stop-clearable", "stop:comp_grounded", changed("stop", "comp_grounded", retest_at_least=1000)),
    ("stop-clearable", "stop:comp_grounded", changed("stop", "comp_grounded", retest_at_least=None)),
    ("stop-clearable", "stop:comp_grounded", changed("stop", "comp_grounded", forbids=["discharged"])),
    ("stop-clearable", "stop:burnt_terminal", changed("stop", "burnt_terminal", retest_outcomes=["burnt"])),
    (
        "stop-clearable",
        "stop:wet_electrics",
        changed("stop", "wet_electrics", retest="look_wiring", retest_outcomes=None, retest_at_least=1),
    ),
    ("caution-listed", "caution:one_try", changed("caution", "one_try", when=["repair:replace_fuses"])),
    ("caution-listed", "caution:heavy_part", changed("caution", "heavy_part", when=[])),
    ("step-order", "step:lock_tag", changed("step", "lock_tag", order=10)),
    ("step-order", "step:zero_leg_1", changed("step", "zero_leg_1", at_most=None)),
    ("phases-complete", "phases", lambda copy: copy.change_file("visit/visit.yaml", "phases", ONE_PHASE)),
    ("source-used", "source:hearsay", added("source", "practice", id="hearsay", title="Hearsay")),
    ("number-sourced", "limit:fuse_ohms", changed("limit", "fuse_ohms", sources=[])),
    ("number-sourced", "unit:split_psc_240", changed("unit", "split_psc_240", sources=[])),
    ("source-noted", "source:nec_440", changed("source", "nec_440", title="A book", known="opened", note="")),
    ("file-read", "checks/more/own.yaml", lambda copy: extra(copy.root / "checks" / "more" / "own.yaml")),
    ("full-stop", "check:v_coil", changed("check", "v_coil", say="Measure the coil")),
    ("full-stop", "wait:equalise", changed("wait", "equalise", text="wait a little.")),
    ("fits-screen", "check:v_coil", changed("check", "v_coil", say="Measure " + "the coil " * 30 + ".")),
    ("fits-screen", "stop:wet_electrics", changed("stop", "wet_electrics", spoken=LONG)),
    ("fits-screen", "step:lock_tag", changed("step", "lock_tag", spoken=WORDY)),
    ("plain-words", "check:v_coil", changed("check", "v_coil", why="A powerful check.")),
    ("plain-words", "repair:clear_drain", changed("repair", "clear_drain", name="clear the drain, effortless")),
    ("name-twice", "check:v_fuse_2", changed("check", "v_fuse_2", name="Volts across fuse 1")),
    ("phrase-form", "subject:fan", changed("subject", "fan", phrases=["Fan"])),
    ("phrase-form", "subject:fan", changed("subject", "fan", phrases=["outdoor  fan"])),
    ("phrase-form", "subject:fan", changed("subject", "fan", phrases=["outdoor fan", "outdoor fan"])),
    ("phrase-form", "state:burnt", changed("state", "burnt", phrases=[])),
    ("phrase-unique", "subject:blower", changed("subject", "thermostat", phrases=["blower"])),
    ("phrase-unique", "state:burnt", changed("state", "good", phrases=["burnt", "good"])),
    ("near-names", "subject:compressor_shell", changed("subject", "thermostat", phrases=["compresser dome"])),
    ("plausible-ordered", "check:v_coil", changed("check", "v_coil", plausible=[60, 0])),
    ("plausible-ordered", "check:v_coil", changed("check", "v_coil", plausible=[0, 6000])),
    ("plausible-ordered", "quantity:voltage", changed("quantity", "voltage", plausible=[600, 600])),
    ("plausible-holds-limit", "check:v_coil", changed("check", "v_coil", plausible=[0, 25])),
    ("plausible-holds-limit", "check:feel_shell", changed("check", "feel_shell", plausible=[20, 125])),
    ("limit-ranges", "limit:capacitor_herm", changed("limit", "capacitor_herm", defaults={"cap_herm_uf": 450})),
    (
        "limit-ranges",
        "limit:capacitor_herm",
        changed("limit", "capacitor_herm", defaults={"cap_herm_uf": 45, "rla": 12}),
    ),
]


@pytest.fixture
def copy(tmp_path: Path) -> Doctored:
    return Doctored(tmp_path / "data")


def test_the_shipped_knowledge_has_no_findings() -> None:
    assert [str(finding) for finding in lint(load())] == []


def test_every_rule_has_a_name_a_severity_a_sentence_and_a_case_here() -> None:
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)
    assert set(names) == {rule for rule, _, _ in DOCTORED}
    for rule in RULES:
        assert rule.severity in Severity
        assert (rule.__doc__ or "").endswith(".")


@pytest.mark.parametrize(
    ("rule", "entry", "doctor"), DOCTORED, ids=[f"{n}-{rule}" for n, (rule, _, _) in enumerate(DOCTORED)]
)
def test_a_rule_notices_what_it_is_for(copy: Doctored, rule: str, entry: str, doctor: Doctor) -> None:
    before = {(finding.entry, finding.message) for finding in copy.findings(rule)}
    doctor(copy)
    after = [finding for finding in copy.findings(rule) if (finding.entry, finding.message) not in before]
    found = [finding for finding in after if finding.entry == entry]
    assert found
    for finding in found:
        assert finding.path.is_relative_to(copy.root)
        assert str(finding).startswith(f"{finding.path}:{finding.line}: [{finding.severity}] {rule}: ")
        assert line_text(finding.path, finding.line).strip()


def test_a_finding_points_at_the_line_of_its_field(copy: Doctored) -> None:
    copy.change("check", "v_coil", plausible=[0, 25], spoken="Volts")
    plausible = copy.findings("plausible-holds-limit")[0]
    (spoken,) = copy.findings("full-stop")
    assert line_text(plausible.path, plausible.line).strip() == "plausible:"
    assert line_text(spoken.path, spoken.line).strip() == "spoken: Volts"


def test_short_codes_are_told_apart_on_purpose(copy: Doctored) -> None:
    copy.change("subject", "thermostat", phrases=["fuse 3", "c to t", "pole 7"])
    assert copy.findings("near-names") == []


def test_an_exception_accepts_its_finding_and_no_other(copy: Doctored) -> None:
    copy.change("check", "v_coil", limit=None)
    copy.change("check", "v_y_outdoor", limit=None)
    accept(copy, entry="check:v_coil", rule="numeric-judged", because="judged together with another reading")
    assert {finding.entry for finding in copy.findings("numeric-judged")} == {"check:v_y_outdoor"}
    assert copy.findings(UNUSED) == []


def test_an_exception_that_accepts_nothing_is_a_finding(copy: Doctored) -> None:
    accept(copy, entry="check:v_coil", rule="numeric-judged", because="once it was so")
    (finding,) = copy.findings(UNUSED)
    assert finding.severity in FAILING
    assert finding.path.name == EXCEPTIONS
    assert "check:v_coil" in line_text(finding.path, finding.line)


def accept(copy: Doctored, **fields: str) -> None:
    path = copy.root / EXCEPTIONS
    given = [item.model_dump() for item in read_exceptions(copy.root)]
    path.write_text(yaml.safe_dump({"exceptions": [*given, fields]}, sort_keys=False), encoding="utf-8")


def test_sources_that_only_code_cites_are_cited_there() -> None:
    ours = (DATA.parents[1] / name for name in ("assistant", "knowledge", "speech", "tests"))
    code = "\n".join(path.read_text(encoding="utf-8") for folder in ours for path in folder.rglob("*.py"))
    for item in read_exceptions(DATA):
        if item.rule == "source-used":
            cited = f"ource: {item.entry.removeprefix('source:')}"
            assert cited in code, item


def test_the_summary_counts_findings_and_names_the_sources_from_memory(copy: Doctored) -> None:
    copy.change("check", "v_coil", limit=None, say="Measure the coil")
    kb = copy.read()
    memory = [source.id for source in kb.sources.values() if source.known is Known.MEMORY]
    said = summary(kb, lint(kb))
    assert "0 high, 1 medium, 1 low" in said
    assert said.endswith(f"from memory, to be confirmed: {', '.join(memory)}")
