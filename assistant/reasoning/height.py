"""What the height of the place shifts on the readings of a sound unit: fans move less air by weight up there."""

from __future__ import annotations

import numpy as np

from knowledge.base import KnowledgeBase
from knowledge.models.signature import Device


def height_shift(kb: KnowledgeBase, feature: str, elevation_ft: float, device: Device | None) -> float:
    """Return what a sound unit shows more of a feature at an elevation in feet than at sea level, in its unit.

    With the metering device not known, the mean of both. Below the sea as at the sea, above the table as at its
    end. Source: the offline cycle model (``python -m tests.cycle --write``), derived.
    """
    table = kb.signatures.at_height
    rows = [table.rows[device]] if device is not None else list(table.rows.values())
    return float(
        np.mean([np.interp(elevation_ft, table.feet, row[feature]) if feature in row else 0.0 for row in rows])
    )


def height_spread(kb: KnowledgeBase, feature: str, elevation_ft: float, device: Device | None) -> float:
    """Return how well that shift is known, as a standard deviation in the feature's unit.

    A share of the shift, and half of what the metering devices differ by while it is not known which one it is.
    """
    share = kb.signatures.at_height.share
    if device is not None:
        return abs(share * height_shift(kb, feature, elevation_ft, device))
    each = [height_shift(kb, feature, elevation_ft, one) for one in kb.signatures.at_height.rows]
    return float(np.hypot(share * np.mean(np.abs(each)), np.ptp(each) / 2))
