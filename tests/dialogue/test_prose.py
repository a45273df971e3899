"""Sentences of the knowledge in SI: each number converted as what it is, a temperature or a difference of two.

Conversions by NIST SP 811, appendix B.9; 6 ft = 1.8 m and 15 ft = 4.6 m as in 29 CFR 1926.501.
"""

from __future__ import annotations

import re

import pytest
from pydantic import BaseModel

from assistant.dialogue.prose import in_units, told_in
from knowledge import load

KB = load()


@pytest.mark.parametrize(
    ("us", "quantity", "si"),
    [
        ("return air 70 to 84 °F, running 15 minutes", None, "return air 21 to 29 °C, running 15 minutes"),
        ("Bring the house between 70 and 84 °F first.", None, "Bring the house between 21 and 29 °C first."),
        ("against the table ± 5 °F", None, "against the table ± 2.8 °C"),
        ("30 to 60 °F hotter", None, "17 to 33 °C hotter"),
        ("4 to 25 °F where not given", "temperature_difference", "2.2 to 14 °C where not given"),
        ("at most 120 °F (49 °C)", None, "at most 120 °F (49 °C)"),
        ("nearer than 6 ft. 6 to 15 ft: a marked area", None, "nearer than 1.8 m. 1.8 to 4.6 m: a marked area"),
        ("stop at 0 psi", None, "stop at 0 kPa"),
        ("-58 to 392 °F", None, "-50 to 200 °C"),
        ("0.1 to 0.2 in. w.c. clean", None, "25 to 50 Pa clean"),
        ("about 400 cfm per ton", None, "about 54 L/s per kW"),
        ("24 V at the coil, 15 minutes", None, "24 V at the coil, 15 minutes"),
    ],
)  # fmt: skip
def test_a_sentence_is_told_in_si(us: str, quantity: str | None, si: str) -> None:
    assert in_units(KB, us, "si", quantity) == si
    assert in_units(KB, us, "us", quantity) == us
    assert in_units(KB, si, "si", quantity) == si  # telling it twice changes nothing


def sentences(part: object) -> list[str]:
    if isinstance(part, str):
        return [part]
    if isinstance(part, BaseModel):
        return [text for name in type(part).model_fields for text in sentences(getattr(part, name))]
    if isinstance(part, dict):
        return [text for value in part.values() for text in sentences(value)]
    return [text for one in part for text in sentences(one)] if isinstance(part, tuple) else []


def test_no_us_number_is_left_alone_in_what_is_said_in_si() -> None:
    told = told_in(KB, "si")
    parts = (told.checks, told.cautions, told.limits, told.calculations, told.calculation_inputs, told.waits,
             told.repairs, told.steps, told.tables, told.close_out)  # fmt: skip
    said = [text for part in parts for text in sentences(dict(part))]
    left = [text for text in said if re.search(r"\d ?(°F|psi|ft|cfm|in\. w\.c\.)(?! \()", text)]
    assert [text for text in left if "cfm = " not in text] == []
    assert told_in(KB, "us") is KB
    assert told_in(KB, "si") is told


def test_nothing_but_sentences_changes() -> None:
    told = told_in(KB, "si")
    assert told.version == KB.version
    assert told.quantities is KB.quantities
    for name, limit in KB.limits.items():
        assert (told.limits[name].constants, told.limits[name].sources) == (limit.constants, limit.sources)
    for name, check in KB.checks.items():
        assert (told.checks[name].measure, told.checks[name].needs) == (check.measure, check.needs)
