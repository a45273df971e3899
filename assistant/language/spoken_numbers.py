"""Numbers the way people say them: two forty one, point three, one oh five, thirty-nine six.

Pure: takes a run of words and written digits, returns what it can mean. No trade knowledge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from knowledge.models.vocabulary import NumberWords

Piece = str | float
"""A word, or the value of a written number."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a run of number words means."""

    length: int
    """How many pieces it took."""
    values: tuple[float, ...]
    """Possible values, most likely first."""
    misheard: float | None = None
    """The value with its last teen heard as a ten or the other way round (fifteen / fifty)."""


@dataclass(frozen=True, slots=True)
class _Part:
    """A value read so far, and where reading goes on."""

    value: float
    after: int
    tail: float = 0.0
    """Value of the last word, for the teen and ten confusion."""


class NumberReader:
    """Reads numbers in the words of one knowledge base."""

    def __init__(self, words: NumberWords) -> None:
        self._words = words
        self._digits = {word: value for word, value in words.units.items() if value < 10} | dict.fromkeys(words.oh, 0)

    def read(self, pieces: Sequence[Piece]) -> Said | None:
        """Return the longest number at the start of the pieces; None where there is none.

        A single written number without any number word around it is left to the caller.
        """
        if not pieces:
            return None
        if pieces[0] in self._words.minus:
            after = self.read(pieces[1:])
            if after is None and len(pieces) > 1 and isinstance(pieces[1], float):
                after = Said(1, (pieces[1],))
            if after is None:
                return None
            return Said(after.length + 1, tuple(-value for value in after.values))
        found = self._positive(pieces)
        if found is None or (found.length == 1 and not isinstance(pieces[0], str)):
            return None
        return found

    def _positive(self, pieces: Sequence[Piece]) -> Said | None:
        part = self._below_one(pieces)
        if part is not None:
            return Said(part.after, (part.value,))
        whole = self._whole(pieces)
        if whole is None or (pieces[0] in self._words.oh and pieces[0] not in self._words.units):
            return None  # "oh" alone is a sigh
        spelt = self._spelt(pieces)
        if spelt is not None and spelt.length > whole.after:
            return spelt
        more = self._decimals(pieces, whole.after)
        if more is not None:
            return Said(more.after, (_exact(whole.value + more.value),))
        more = self._and_fraction(pieces, whole)
        return Said(more.after, (more.value,)) if more is not None else self._trailing_digit(pieces, whole)

    def _below_one(self, pieces: Sequence[Piece]) -> _Part | None:
        """Point three, oh point nine, half, two tenths."""
        begun = int(pieces[0] in self._words.oh)
        return self._decimals(pieces, begun) or self._fraction_of_one(pieces)

    def _trailing_digit(self, pieces: Sequence[Piece], whole: _Part) -> Said:
        """ "thirty-nine six" is 39.6 or 396; "twelve fifty" 12.50 or 1250."""
        plain = Said(whole.after, (whole.value,), self._misheard(whole))
        if not 10 <= whole.value < 100 or isinstance(pieces[0], float):
            return plain
        follow = self._below_hundred(pieces, whole.after)
        if follow is None or follow.value <= 0 or isinstance(pieces[whole.after], float):
            return plain
        if follow.value < 10 and whole.value % 10 == 0 and whole.value > 10:
            return plain  # twenty four is one number, not twenty and four
        if self._decimals(pieces, follow.after) is not None or self._scale(pieces, follow.after):
            return plain
        digits = 1 if follow.value < 10 else 2
        decimal = _exact(whole.value + follow.value / 10**digits)
        joined = whole.value * 10**digits + follow.value
        return Said(follow.after, (decimal, joined))

    def _spelt(self, pieces: Sequence[Piece]) -> Said | None:
        """Digits said one by one: two four one; four seven is 47 or 4.7."""
        digits: list[int] = []
        for piece in pieces:
            if not isinstance(piece, str) or piece not in self._digits:
                break
            digits.append(self._digits[piece])
        if len(digits) < 2:
            return None
        following = self._below_hundred(pieces, len(digits))
        if following is not None and following.value >= 10:
            return None  # one oh five is digits, but one two twenty is not one number
        value = float("".join(map(str, digits)))
        point = self._decimals(pieces, len(digits))
        if point is not None:
            return Said(point.after, (_exact(value + point.value),))
        if len(digits) == 2 and digits[0]:
            return Said(2, (value, _exact(value / 10)))
        return Said(len(digits), (value,))

    def _whole(self, pieces: Sequence[Piece]) -> _Part | None:
        """Hundreds and thousands with what follows, or the short forms two forty and two oh eight."""
        first = self._below_hundred(pieces, 0) or self._written(pieces, 0) or self._article(pieces)
        if first is None:
            return None
        if self._scale(pieces, first.after):
            return self._scaled(pieces, first)
        if first.value not in range(1, 10):
            return first
        return self._hundred_left_out(pieces, first) or first

    def _hundred_left_out(self, pieces: Sequence[Piece], first: _Part) -> _Part | None:
        """Two forty one, one twenty, two oh eight: a digit and a two-digit number."""
        after = first.after
        if after < len(pieces) and pieces[after] in self._words.oh:
            digit = self._below_hundred(pieces, after + 1)
            fits = digit is not None and 0 < digit.value < 10
            return _Part(first.value * 100 + digit.value, digit.after) if digit is not None and fits else None
        low = self._below_hundred(pieces, after)
        if low is None or low.value < 10 or self._scale(pieces, low.after):
            return None
        return _Part(first.value * 100 + low.value, low.after, low.tail)

    def _scaled(self, pieces: Sequence[Piece], first: _Part) -> _Part:
        total, current, after, tail = 0.0, first.value, first.after, 0.0
        scale = self._scale(pieces, after)
        while scale:
            after += 1
            if scale >= 1000:
                total, current = total + current * scale, 0.0
            else:
                current *= scale
            rest = self._below_hundred(pieces, after + self._is_and(pieces, after))
            if rest is None:
                break
            tail = rest.tail
            following = self._scale(pieces, rest.after)
            if following and following < scale:
                total, current, after = total + current, rest.value, rest.after
            else:
                return _Part(total + current + rest.value, rest.after, tail)
            scale = following
        return _Part(total + current, after, tail if current and tail else 0.0)

    def _below_hundred(self, pieces: Sequence[Piece], place: int) -> _Part | None:
        """0 to 99 in words."""
        if place >= len(pieces) or not isinstance(pieces[place], str):
            return None
        word = str(pieces[place])
        tens = self._words.tens.get(word)
        if tens is not None:
            if place + 1 < len(pieces):
                unit = self._words.units.get(str(pieces[place + 1]))
                if unit is not None and 0 < unit < 10:
                    return _Part(float(tens + unit), place + 2)
            return _Part(float(tens), place + 1, float(tens))
        unit = self._words.units.get(word)
        return _Part(float(unit), place + 1, float(unit)) if unit is not None else None

    def _written(self, pieces: Sequence[Piece], place: int) -> _Part | None:
        piece = pieces[place] if place < len(pieces) else None
        return _Part(piece, place + 1) if isinstance(piece, float) else None

    def _article(self, pieces: Sequence[Piece]) -> _Part | None:
        """A hundred, hundred."""
        if pieces[0] in self._words.article and self._scale(pieces, 1):
            return _Part(1.0, 1)
        return _Part(1.0, 0) if self._scale(pieces, 0) else None

    def _scale(self, pieces: Sequence[Piece], place: int) -> int:
        return self._words.scales.get(str(pieces[place]), 0) if place < len(pieces) else 0

    def _is_and(self, pieces: Sequence[Piece], place: int) -> int:
        """1 where a joining word stands between a scale and a number."""
        joined = place + 1 < len(pieces) and pieces[place] in self._words.joined
        return int(joined and self._below_hundred(pieces, place + 1) is not None)

    def _decimals(self, pieces: Sequence[Piece], place: int) -> _Part | None:
        """Point three, point two five, point twenty five."""
        if place + 1 >= len(pieces) or pieces[place] not in self._words.point:
            return None
        place += 1
        digits = ""
        written = pieces[place]
        if isinstance(written, float):
            if written % 1 or written < 0 or written >= 1e9:
                return None
            return _Part(float(f"0.{int(written)}"), place + 1)
        while place < len(pieces) and pieces[place] in self._digits:
            digits += str(self._digits[str(pieces[place])])
            place += 1
        if not digits:
            low = self._below_hundred(pieces, place)
            if low is None:
                return None
            digits, place = str(int(low.value)), low.after
        return _Part(float(f"0.{digits}"), place)

    def _fraction_of_one(self, pieces: Sequence[Piece]) -> _Part | None:
        """Half, a half, two tenths, three quarters."""
        halves = self._words.halves
        if pieces[0] in halves:
            return _Part(halves[str(pieces[0])], 1)
        if len(pieces) < 2 or pieces[1] not in halves:
            return None
        if pieces[0] in self._words.article:
            return _Part(halves[str(pieces[1])], 2)
        count = self._below_hundred(pieces, 0) or self._written(pieces, 0)
        if count is None or count.after != 1:
            return None
        return _Part(_exact(count.value * halves[str(pieces[1])]), 2)

    def _and_fraction(self, pieces: Sequence[Piece], whole: _Part) -> _Part | None:
        """Nine and a half, two and three quarters."""
        place = whole.after
        if place + 1 >= len(pieces) or pieces[place] not in self._words.joined:
            return None
        fraction = self._fraction_of_one(pieces[place + 1 :])
        return _Part(whole.value + fraction.value, place + 1 + fraction.after) if fraction else None

    def _misheard(self, part: _Part) -> float | None:
        teen = part.tail
        if 13 <= teen <= 19:
            return part.value - teen + (teen - 10) * 10
        if 30 <= teen <= 90:
            return part.value - teen + teen / 10 + 10
        return None


def _exact(value: float) -> float:
    return float(f"{value:.10g}")
