"""What a touch key sends is understood by the language part, with the knowledge that is shipped."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Kind
from assistant.language.understand import understand
from assistant.tui.widgets.touch_row import ANSWERS, WISHES, Touch
from knowledge import load

ASKED = Context(asked=Asked("step", "lock_tag"))


@pytest.mark.parametrize(
    ("touch", "kind"),
    [(touch, Kind.ANSWER) for touch in ANSWERS] + [(touch, Kind.REQUEST) for touch in WISHES],
    ids=lambda value: value.id if isinstance(value, Touch) else value.value,
)
def test_every_touch_key_says_one_clear_thing(touch: Touch, kind: Kind) -> None:
    understood = understand(touch.note or "", load(), ASKED)
    assert [item.kind for item in understood.heard] == [kind]
    assert understood.heard[0].doubts == ()
    assert understood.not_understood == ()
