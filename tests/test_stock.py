"""The parts on the truck: what fits, what is refused, what is counted down, and what a wrong file is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.desk import Desk
from assistant.open_visit import Visits
from assistant.stock import StockError, TruckStock
from knowledge import load

HEAD = "part,marking,microfarads,volts,count\n"
SAFE = (
    "pulled the disconnect", "locked and tagged", "tester proved on a known source", "0 leg to leg",
    "0 leg 1 to ground", "0 leg 2 to ground", "tester proved again", "discharged the capacitor through the resistor",
    "2 volts dc on the capacitor",
)  # fmt: skip
WEAK = ("not cooling, fan is not turning", "cap is a 45/5 440 volt", *SAFE)


def stock_of(folder: Path, *lines: str) -> TruckStock:
    path = folder / "stock.csv"
    path.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")
    return TruckStock(path, load())


def visit(folder: Path, stock: TruckStock, *notes: str) -> Desk:
    desk = Visits(load(), folder / "visits", folder / "notes", stock=stock.path).new()
    for note in notes:
        desk.say(note)
    return desk


def counts(stock: TruckStock) -> list[int]:
    return [shelf.count for shelf in stock.shelves()]


def test_the_part_that_fits_is_told_and_counted_down_once(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,440,2", "capacitor,,45/5,370,1", "contactor,two poles 40 A,,,1")
    desk = visit(tmp_path, stock, *WEAK)
    assert "45/5 µF 440 V (2)" in desk.say("what caps, do I have any capacitors").reply
    reply = desk.say("replaced the capacitor").reply
    desk.close()
    assert "Taken from the truck: 45/5 µF 440 V, 1 left" in reply
    assert counts(stock) == [1, 1, 1]


def test_taking_a_repair_back_puts_the_part_back_and_saying_it_again_takes_it_again(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,440,2")
    desk = visit(tmp_path, stock, *WEAK, "replaced the capacitor")
    assert counts(stock) == [1]
    assert "Back on the truck: 45/5 µF 440 V" in desk.say("take that back").reply
    assert counts(stock) == [2]
    desk.say("replaced the capacitor")
    desk.close()
    assert counts(stock) == [1]


def test_two_in_parallel_are_counted_as_two_and_named_as_a_substitute(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,20,440,3", "capacitor,,5,440,1")
    desk = visit(tmp_path, stock, "not cooling", "cap is a 40/5 440 volt", *SAFE, "replaced the capacitor")
    text = next(path for path in desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    desk.close()
    assert counts(stock) == [1, 0]
    assert "in parallel" in text
    assert "fitted 2 × 20 µF 440 V, 5 µF 440 V from the truck" in text


def test_a_lower_voltage_is_neither_offered_nor_counted(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,370,2")
    desk = visit(tmp_path, stock, *WEAK)
    assert "Nothing at hand fits" in desk.say("do I have a capacitor").reply
    assert "not counted down" in desk.say("replaced the capacitor").reply
    desk.close()
    assert counts(stock) == [2]


def test_a_wrong_capacitor_that_was_fitted_is_warned_of_counted_and_stands_in_the_note(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,50/5,370,2")
    desk = visit(tmp_path, stock, *WEAK)
    reply = desk.say("replaced the capacitor with a 50/5 370").reply
    text = next(path for path in desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    desk.close()
    assert "WARNING: Fitted 50/5 µF 370 V, where 45/5 µF 440 V is marked" in reply
    assert counts(stock) == [1]
    assert "50/5 µF 370 V where 45/5 µF 440 V is marked" in text


def test_of_two_contactors_the_one_named_by_its_amps_is_counted(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, 'contactor,"2 poles 30 A, 24 V coil",,,1', 'contactor,"2 poles 40 A, 24 V coil",,,1')
    desk = visit(tmp_path, stock, "not cooling", *SAFE)
    assert "which contactor was fitted is not clear" in desk.say("replaced the contactor").reply
    assert counts(stock) == [1, 1]
    desk.say("take that back")
    desk.say("replaced the contactor with the 40 amp one")
    desk.close()
    assert counts(stock) == [1, 0]


def test_without_the_old_ones_voltage_none_is_chosen(tmp_path: Path) -> None:
    desk = visit(tmp_path, stock_of(tmp_path, "capacitor,,45/5,440,2"), "not cooling", "cap is a 45/5")
    assert "volts off the old one" in desk.say("do I have a capacitor").reply
    desk.close()


def test_the_whole_truck_is_told_and_a_part_it_never_holds(tmp_path: Path) -> None:
    stock = stock_of(tmp_path, "capacitor,,45/5,440,2", "contactor,2 poles 40 A,,,0")
    desk = visit(tmp_path, stock, "not cooling")
    assert "run capacitor: 45/5 µF 440 V (2)." in desk.say("what's on the truck?").reply
    assert "no contactor" in desk.say("do I have a contactor").reply
    desk.close()


def test_without_a_list_a_visit_says_so_when_asked_and_never_else(tmp_path: Path) -> None:
    desk = Visits(load(), tmp_path / "visits", tmp_path / "notes").new()
    for note in WEAK:
        assert "truck" not in desk.say(note).reply
    assert "No list of the truck's parts" in desk.say("what's on the truck").reply
    assert "truck" not in desk.say("replaced the capacitor").reply
    desk.close()


def test_a_yaml_list_is_counted_down_and_keeps_its_remarks(tmp_path: Path) -> None:
    path = tmp_path / "stock.yaml"
    path.write_text(
        "# counted on Friday\n- {part: capacitor, microfarads: 45/5, volts: 440, count: 2}\n"
        "- part: contactor\n  marking: two poles 40 A, 24 V coil\n  count: 10 # top shelf\n",
        encoding="utf-8",
    )
    stock = TruckStock(path, load())
    stock.change({("capacitor", "45/5 µF 440 V"): -1, ("contactor", "two poles 40 A, 24 V coil"): -1})
    assert counts(stock) == [1, 9]
    text = path.read_text(encoding="utf-8")
    assert "# counted on Friday" in text
    assert "count: 9 # top shelf" in text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("part: capacitor\n", "must be a list"),
        ("- {part: capacitor, microfarads: 45/5, volts: 440}\n", "1: each entry needs part and count"),
        ("- {part: contactor, count: two}\n", "1: count"),
        ("- {part: contactor, count: 1\n- {", "no valid YAML"),
        ("- {part: contactor, cuont: 1, count: 1}\n", "1: each entry"),
    ],
)
def test_a_wrong_yaml_list_is_told_where_and_why(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "stock.yml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(StockError, match=said):
        TruckStock(path, load()).shelves()


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


def test_a_broken_stock_file_never_stops_a_visit(tmp_path: Path) -> None:
    desk = visit(tmp_path, TruckStock(tmp_path / "none.csv", load()), "not cooling", *SAFE)
    reply = desk.say("replaced the capacitor")
    desk.close()
    assert "no stock file" in reply.reply
    assert reply.phase == "restart"


def test_what_part_is_needed_is_told_with_what_of_it_is_on_the_truck(tmp_path: Path) -> None:
    desk = visit(tmp_path, stock_of(tmp_path, "capacitor,,45/5,440,2"), *WEAK)
    for note in ("fan side reads 0.4", "same", "fan blade spins free"):
        desk.say(note)
    reply = desk.say("what part do I need").reply
    desk.close()
    assert "dual run capacitor 45/5 µF, 440 V or higher" in reply
    assert "On the truck, run capacitor: 45/5 µF 440 V (2)" in reply
