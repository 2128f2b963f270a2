"""Single points of failure: what carries everything, what feeds it, what the stock has."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.check import Check, check_show
from levelhead.show.document import parse_show

SHOW = """
levelhead: 1
show: {name: test}
items:
  one: {type: mic-vocal-condenser}
  two: {type: mic-vocal-condenser}
  desk: {type: mixer-compact}
  a: {type: loudspeaker-powered-12}
  b: {type: loudspeaker-powered-12}
sources: {ada: {type: voice-singer, at: one}, ben: {type: voice-singer, at: two}}
links:
  - {from: one.out, to: desk.ch1.mic}
  - {from: two.out, to: desk.ch2.mic}
  - {from: desk.main-left.out, to: a.in, via: [cable-xlr 10 m]}
  SECOND
settings: {desk: {phantom: on}}
"""
APART = SHOW.replace("SECOND", "- {from: desk.main-right.out, to: b.in, via: [cable-xlr 10 m]}")
CHAINED = SHOW.replace("SECOND", "- {from: a.link, to: b.in, via: [cable-xlr 10 m]}")


def spares(text: str) -> Check:
    return check_show(parse_show(text, "test.yaml").show, load_book(), family="spares")


def told(text: str) -> set[tuple[str, str]]:
    return {(each.code, each.where) for each in spares(text).findings}


def test_the_desk_carries_everything_and_feeds_all_phantom() -> None:
    assert told(APART) == {("spares.one-item", "desk"), ("spares.phantom", "desk")}


def test_a_lead_before_a_chain_of_loudspeakers_carries_everything() -> None:
    assert ("spares.one-lead", "a.in") in told(CHAINED)
    assert ("spares.one-lead", "a.in") not in told(CHAINED + "stock: {cable-xlr 10 m: 1}\n")


def test_what_is_in_stock_is_at_hand() -> None:
    assert ("spares.one-item", "desk") not in told(APART + "stock: {mixer-compact: 1}\n")


def test_it_is_care_at_most() -> None:
    assert {each.severity.value for each in spares(CHAINED).findings} == {"care"}
