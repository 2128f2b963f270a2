"""What leads join, read off their pins."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.gear.wiring import exchanges_legs


def test_adaptors_that_turn_polarity_are_known_by_their_pins() -> None:
    """AES14: pin 2 is the plus leg of an XLR; with pins 2 and 3 exchanged it turns."""
    book = load_book()
    turning = {each for each in book.of_kind("adaptor") if exchanges_legs(book.cable(each))}
    assert turning == {"adaptor-xlr-reverse"}


def test_leads_that_lose_a_leg_or_have_more_ends_turn_nothing() -> None:
    """A usual lead, an unbalanced one, an insert lead; and the lead with pins exchanged does."""
    book = load_book()
    for type_id in ("cable-xlr", "cable-jack", "lead-insert", "adaptor-xlr-pin-1-open"):
        assert not exchanges_legs(book.cable(type_id)), type_id
    assert exchanges_legs(book.cable("cable-xlr-reversed"))
