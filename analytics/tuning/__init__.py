"""Tuning: where the firm should draw its lines, given what electricians found."""

from analytics.tuning.against import Flips, flips
from analytics.tuning.agreement import Agreed, agreement
from analytics.tuning.evidence import evidence
from analytics.tuning.findings import Matched, matched
from analytics.tuning.openings import Openings, openings
from analytics.tuning.plan import Plan, plan
from analytics.tuning.recalibrate import Recalibrated, recalibrate
from analytics.tuning.report import Tuned, tune

__all__ = [
    "Agreed",
    "Flips",
    "Matched",
    "Openings",
    "Plan",
    "Recalibrated",
    "Tuned",
    "agreement",
    "evidence",
    "flips",
    "matched",
    "openings",
    "plan",
    "recalibrate",
    "tune",
]
