"""Splitting a note into words, written numbers and breaks, each with its place in the note."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache


class TokenKind(StrEnum):
    WORD = "word"
    NUMBER = "number"
    SYMBOL = "symbol"
    """A sign that joins or means something: / - + @ ~ < >"""
    BREAK = "break"
    """A sign that parts: , . ; ? ! and the end of a line."""


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or sign of the note."""

    start: int
    end: int
    raw: str
    kind: TokenKind
    words: tuple[str, ...]
    """Folded spelling; after the spelling pass the possible readings, best first."""
    values: tuple[float, ...] = ()
    """Written number; two values where the comma can be read two ways. Empty for an absurd one."""
    glued: bool = False
    """No space between this and the token before."""
    loose: bool = False
    """Read as a word that it does not spell."""

    @property
    def word(self) -> str:
        return self.words[0]

    def read_as(self, *words: str) -> Token:
        """Return the token read as other words than it spells."""
        return replace(self, words=words, loose=True)


_TOKEN = re.compile(
    r"""
    (?P<odd> \d+(?:\.\d+){2,} )
  | (?P<clock> (?<![\w.]) (?:[01]?\d|2[0-3]):[0-5]\d (?![\w:]) )
  | (?P<ordinal> \d+(?i:st|nd|rd|th)(?![^\W_]) )
  | (?P<number>
        (?:(?<![^\s(=:,;~<>])[-−+](?=[\d.]))?
        (?:\d{1,3}(?:,\d{3})+(?![\d])(?:\.\d+)? | \d+,\d{1,2}(?![\d,]) | \d+(?:\.\d+)? | \.\d+ )
        (?:[eE][+-]?\d+(?![^\W\d_]))?
        [¼½¾]?
      | [¼½¾] )
    | (?P<initials> (?:[^\W\d_]\.){2,}(?:[^\W\d_](?![^\W_]))? )
    | (?P<word> [^\W_]+(?:['’][^\W_]+)* | °\s?[cCfF](?![^\W_]) | [°%∞Ωµμ]+ )
    | (?P<line> [,.;:!?…]+ | \s[-–—]+\s | \n+ )
    | (?P<symbol> [^\w\s] )
    """,
    re.VERBOSE,
)
_WORDLIKE = "°%∞Ωµμ"


def tokenise(text: str) -> tuple[Token, ...]:
    """Return the tokens of a cleaned note in order; brackets, quotes and the like are left out."""
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        token = _token(match, glued=match.start() > 0 and not text[match.start() - 1].isspace())
        if token is not None:
            found.append(token)
    return tuple(token for place, token in enumerate(found) if not _is_hyphen(found, place))


def _is_hyphen(tokens: list[Token], place: int) -> bool:
    """True for a sign that only holds two words together: t-stat, a/c, 24-volt; between numbers it means something."""
    if tokens[place].word not in {"-", "/"} or not 0 < place < len(tokens) - 1:
        return False
    before, behind = tokens[place - 1], tokens[place + 1]
    held = tokens[place].glued and behind.glued
    kinds = {before.kind, behind.kind}
    return held and TokenKind.WORD in kinds and not kinds & {TokenKind.BREAK, TokenKind.SYMBOL}


@lru_cache(maxsize=8192)
def fold(raw: str) -> str:
    """Return a word as it is compared: composed, lower case, without apostrophes and dots."""
    plain = unicodedata.normalize("NFKC", raw).casefold()
    return plain.replace("'", "").replace("’", "").replace(".", "").replace(" ", "")


@lru_cache(maxsize=8192)
def words_of(phrase: str) -> tuple[str, ...]:
    """Return the folded words of a phrase of the vocabulary, spelt the way a note's tokens are."""
    tokens = tokenise(phrase)
    words = tuple(token.word for token in tokens if token.kind in {TokenKind.WORD, TokenKind.NUMBER})
    return words or tuple(token.word for token in tokens)


def find_words(words: Sequence[str], wanted: Sequence[str]) -> int | None:
    """Return where a run of words begins among others; None where it does not stand there."""
    run = tuple(wanted)
    return next((at for at in range(len(words) - len(run) + 1) if tuple(words[at : at + len(run)]) == run), None)


def _token(match: re.Match[str], *, glued: bool) -> Token | None:
    start, end, raw = match.start(), match.end(), match.group()
    if match.lastgroup == "number":
        values = _values(raw)
        return Token(start, end, raw, TokenKind.NUMBER, (raw.casefold(),), values, glued)
    if match.lastgroup == "odd":
        return Token(start, end, raw, TokenKind.WORD, (raw,), glued=glued)  # 38.2.3 is no number: asked back whole
    if match.lastgroup in {"word", "initials", "ordinal", "clock"}:
        return Token(start, end, raw, TokenKind.WORD, (fold(raw),), glued=glued)
    if match.lastgroup == "line":
        return _line(start, end, raw)
    if raw in "/-+@~<>≈&=":
        return Token(start, end, raw, TokenKind.SYMBOL, (raw,), glued=glued)
    if raw in "\"'`’‘“”()[]{}*#|\\_^$":
        return None
    return Token(start, end, raw, TokenKind.WORD, (raw,), glued=glued)


def _line(start: int, end: int, raw: str) -> Token | None:
    sign = raw.strip() or "\n"
    if set(sign) == {":"}:
        return None
    strength = next((mark for mark in "?\n;!." if mark in sign), ",")
    if "…" in sign or sign.startswith(".."):
        strength = ","
    return Token(start, end, raw, TokenKind.BREAK, (strength,))


def _values(raw: str) -> tuple[float, ...]:
    """Return the value of a written number; both where a comma may part thousands or decimals."""
    fraction = unicodedata.numeric(raw[-1]) if raw[-1] in "¼½¾" else 0.0
    digits = raw.rstrip("¼½¾").replace("−", "-")
    if not digits:
        return (fraction,)
    if re.search(r",\d{1,2}$", digits) and "." not in digits:
        forms = [digits.replace(",", ".")]
    else:
        forms = [digits.replace(",", "")]
        if digits.count(",") == 1 and "." not in digits:
            forms.append(digits.replace(",", "."))
    values = [float(form) + fraction for form in forms]
    return tuple(value for value in values if abs(value) < 1e12)  # larger is no reading of anything
