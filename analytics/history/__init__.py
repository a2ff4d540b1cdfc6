"""What is kept for good of policies and verdicts, so that a past verdict can be told again."""

from analytics.history.explain import Explanation, explain
from analytics.history.policies import (
    Adopted,
    adopt,
    keep_policy,
    past_policies,
    policy_in_force,
    unscreened,
    write_policy,
)
from analytics.history.verdicts import record_verdicts, set_earlier_aside

__all__ = [
    "Adopted",
    "Explanation",
    "adopt",
    "explain",
    "keep_policy",
    "past_policies",
    "policy_in_force",
    "record_verdicts",
    "set_earlier_aside",
    "unscreened",
    "write_policy",
]
