"""The firm's thresholds: a dated, versioned TOML file, read and checked."""

from analytics.policy.file import (
    as_toml,
    default_policy,
    default_text,
    parse,
    read_policy,
    read_text,
    restore,
    with_standards,
)
from analytics.policy.limits import LEAST, MOST, NEVER, STANDARDS, TUNED
from analytics.policy.record import OwnLine, Policy

__all__ = [
    "LEAST",
    "MOST",
    "NEVER",
    "STANDARDS",
    "TUNED",
    "OwnLine",
    "Policy",
    "as_toml",
    "default_policy",
    "default_text",
    "parse",
    "read_policy",
    "read_text",
    "restore",
    "with_standards",
]
