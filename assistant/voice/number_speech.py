"""Numbers the way technicians say them, as words: the other direction of ``language.spoken_numbers``."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.models.vocabulary import NumberWords

_HALVES = 20
"""Up to here somebody says "and a half": tons and microfarads."""


class NumberSpeaker:
    """Says numbers with the words of one knowledge base."""

    def __init__(self, words: NumberWords) -> None:
        # the first spelling of each value is the ordinary one: "forty", not "fourty"
        self._names = {value: word for word, value in reversed([*words.units.items(), *words.tens.items()])}
        self._hundred = next(word for word, value in words.scales.items() if value == 100)
        self._thousand = next(word for word, value in words.scales.items() if value == 1000)
        self._point = words.point[0]
        self._oh = words.oh[0]

    def ways(self, value: float) -> Iterator[str]:
        """Yield the ways to say a number of at least 0 with at most two decimals, the fullest first."""
        whole, decimals = f"{value:.2f}".split(".")
        decimals = decimals.rstrip("0")
        if not decimals:
            yield from self._whole(int(whole))
            return
        digits = " ".join(self._names[int(digit)] for digit in decimals)
        for head in self._whole(int(whole)):
            yield f"{head} {self._point} {digits}"
        if decimals == "5" and 0 < int(whole) <= _HALVES:
            yield f"{self._names[int(whole)]} and a half"
        if whole == "0":
            yield f"{self._point} {digits}"
            yield f"{self._oh} {self._point} {digits}"

    def digits(self, value: float) -> str:
        """Return the number digit by digit: 15 is "one five", 1.2 "one point two"."""
        shown = [char for char in f"{value:.6g}" if char.isdigit() or char == "."]
        return " ".join(self._point if char == "." else self._names[int(char)] for char in shown)

    def full(self, value: float) -> str:
        """Return the fullest way to say it."""
        return next(self.ways(value))

    def _whole(self, number: int) -> Iterator[str]:
        if number >= 1000:
            head, rest = divmod(number, 1000)
            tail = f" {next(self._whole(rest))}" if rest else ""
            yield f"{next(self._whole(head))} {self._thousand}{tail}"
        elif number >= 100:
            yield from self._hundreds(*divmod(number, 100))
        else:
            yield self._below_hundred(number)

    def _hundreds(self, hundreds: int, rest: int) -> Iterator[str]:
        head = self._names[hundreds]
        if rest == 0:
            yield f"{head} {self._hundred}"
            return
        low = self._below_hundred(rest)
        yield f"{head} {self._hundred} {low}"
        yield f"{head} {self._oh} {low}" if rest < 10 else f"{head} {low}"
        yield f"{head} {self._hundred} and {low}"

    def _below_hundred(self, number: int) -> str:
        if number in self._names:
            return self._names[number]
        return f"{self._names[number - number % 10]} {self._names[number % 10]}"
