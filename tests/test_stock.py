"""The parts on the truck: what fits, what is refused, what is counted down, and what a wrong file is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.open_visit import Visits
from assistant.stock import StockError, TruckStock
from knowledge import load

HEAD = "part,marking,microfarads,volts,count\n"
PLATE = {"cap_herm_uf": 45.0, "cap_fan_uf": 5.0, "cap_volts": 440.0}
SAFE = (
    "pulled the disconnect", "locked and tagged", "tester proved on a known source", "0 leg to leg",
    "0 leg 1 to ground", "0 leg 2 to ground", "tester proved again", "discharged the capacitor through the resistor",
    "2 volts dc on the capacitor",
)  # fmt: skip


def stock_of(folder: Path, *lines: str) -> TruckStock:
    path = folder / "stock.csv"
    path.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")
    return TruckStock(path, load())


def test_the_marked_value_at_the_marked_voltage_fits_and_is_counted_down(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,440,2", "contactor,two poles 40 A,,,1")
    assert "Fit 45/5 µF 440 V" in stock.on_hand("capacitor", PLATE)
    assert "1 left" in stock.fitted("capacitor", PLATE)
    assert [shelf.count for shelf in stock.shelves()] == [1, 1]


def test_a_lower_voltage_is_refused_and_nothing_counted_down(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,370,2")
    assert "Nothing at hand fits" in stock.on_hand("capacitor", PLATE)
    assert "not counted down" in stock.fitted("capacitor", PLATE)
    assert [shelf.count for shelf in stock.shelves()] == [2]


def test_two_in_parallel_fit_where_both_voltages_do(tmp_path: Path) -> None:
    plate = {"cap_herm_uf": 40.0, "cap_volts": 370.0}
    assert "in parallel" in stock_of(tmp_path, "capacitor,,25,370,1", "capacitor,,15,440,1").on_hand("capacitor", plate)
    low = stock_of(tmp_path, "capacitor,,25,370,1", "capacitor,,15,330,1")
    assert "Nothing at hand fits" in low.on_hand("capacitor", plate)


def test_two_of_a_kind_in_parallel_are_counted_as_two(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,20,370,3")
    assert "1 left" in stock.fitted("capacitor", {"cap_herm_uf": 40.0, "cap_volts": 370.0})


def test_without_the_old_ones_voltage_none_is_chosen(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,440,2")
    assert "volts off the old one" in stock.on_hand("capacitor", {"cap_herm_uf": 45.0})


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("capacitor,,45/5,440,many", "2: count"),
        ("capacitor,,forty,440,1", "2: a capacitor needs"),
        ("flux_part,,,,1", "2: part"),
    ],
)
def test_a_wrong_line_is_named_with_what_is_wrong(tmp_path: Path, line: str, said: str) -> None:
    with pytest.raises(StockError, match=said):
        stock_of(tmp_path, line).shelves()


def test_a_file_without_its_head_or_none_at_all_is_told(tmp_path: Path) -> None:
    (tmp_path / "stock.csv").write_text("things\n", encoding="utf-8")
    with pytest.raises(StockError, match="first line"):
        TruckStock(tmp_path / "stock.csv", load()).shelves()
    with pytest.raises(StockError, match="no stock file"):
        TruckStock(tmp_path / "none.csv", load()).shelves()


def test_a_part_reported_fitted_in_a_visit_leaves_the_truck(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,440,2")
    desk = Visits(load(), tmp_path / "visits", tmp_path / "notes", stock=stock.path).new()
    for note in ("not cooling", "cap is a 45/5", "capacitor is rated 440 volts", *SAFE):
        desk.say(note)
    assert "1 left" in desk.say("replaced the capacitor").reply
    desk.close()
    assert [shelf.count for shelf in stock.shelves()] == [1]


def test_a_broken_stock_file_never_stops_a_visit(tmp_path: Path) -> None:
    desk = Visits(load(), tmp_path / "visits", tmp_path / "notes", stock=tmp_path / "none.csv").new()
    for note in ("not cooling", *SAFE):
        desk.say(note)
    reply = desk.say("replaced the capacitor")
    desk.close()
    assert "no stock file" in reply.reply
    assert reply.phase == "restart"
