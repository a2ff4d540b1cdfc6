"""Names and amounts keep their place on a page."""

from __future__ import annotations

from analytics.plain import isolated, kept_together


def test_a_name_from_right_to_left_is_set_apart_and_nothing_else() -> None:
    """UAX 9, 2.7: between FSI and PDI a text turns nothing outside; two names are two texts."""
    assert isolated("slot 3, panel A-7, load 40 %") == "slot 3, panel A-7, load 40 %"
    name = "\u05dc\u05d5\u05d7 12 \u05d0"
    assert isolated(f"panel {name}, 3 devices") == f"panel \u2068{name}\u2069, 3 devices"
    both = isolated("\u0645\u0646 reads 2 K less than \u0627\u0628")
    assert both == "\u2068\u0645\u0646\u2069 reads 2 K less than \u2068\u0627\u0628\u2069"


def test_a_number_stays_with_its_unit() -> None:
    assert kept_together("5 K at 30 %, 3 Kelly") == "5\u00a0K at 30\u00a0%, 3 Kelly"
