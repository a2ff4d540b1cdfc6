"""A camera and whoever mostly reads with it, where both read apart: one finding, told once."""

from __future__ import annotations

from analytics.trends.records import OTHERS, Point, Use
from analytics.trends.users import main_user
from dashboards.pages import quarter_signals as told
from dashboards.pages.quarter_drift import MEASURES
from dashboards.quarter_records import QuarterRecord

PARTNER = {"camera": "inspector", "inspector": "camera"}


def partner(one: Point, record: QuarterRecord) -> tuple[Use, Point] | None:
    """Return who or what goes together with a camera or inspector and reads apart the same way."""
    other = PARTNER.get(one.subject)
    if other is None or record.trends is None:
        return None
    loud = told.named(record, other, MEASURES, OTHERS)
    apart = {
        point.level_name: point
        for point in record.trends.points
        if (point.subject, point.quarter) == (other, one.quarter)
        and point.level * one.level > 0
        and (abs(point.level) > point.level_limit or (point.level_name, point.quarter) in loud)
    }
    found = [
        (use, apart[getattr(use, other)])
        for use in _year(one, record)
        if use.is_one and getattr(use, other) in apart
    ]
    return max(found, key=lambda pair: pair[0].count) if found else None


def mostly(one: Point, record: QuarterRecord) -> Use | None:
    """Return who mostly read with a camera in the year; None where nobody did."""
    use = main_user(one.level_name, _year(one, record))
    return use if use and use.camera_share >= use.MOSTLY else None


def _year(one: Point, record: QuarterRecord) -> list[Use]:
    return [
        use
        for use in (record.trends.uses if record.trends else ())
        if (use.quarter, use.against) == (one.quarter, OTHERS)
        and getattr(use, one.subject) == one.level_name
    ]
