"""A lead that takes the place of others reaches as far as they did."""

from __future__ import annotations

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.moves.past import lead_past
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.show.edits import Plug
from levelhead.show.model import Cable, Link
from tests.verdicts.shows import tried_text


def cable_of(text: str) -> Cable:
    type_id, _, length = text.partition(" ")
    return Cable(type_id, float(length.removesuffix(" m")) if length else None)


def test_a_box_left_out_leaves_both_leads() -> None:
    """A condenser behind a transformer that keeps phantom power away."""
    trial = tried_text(
        """
        items:
          mic: {type: mic-large-condenser}
          iso: {type: isolator-line}
          desk: {type: mixer-compact}
        links:
          - {from: mic.out, to: iso.in, via: [cable-xlr 20 m]}
          - {from: iso.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}
        settings: {desk: {phantom: on}}
        """
    )
    finding = next(each for each in trial.judgement.findings if each.code == "phantom.too-low")
    plugs = [
        edit
        for remedy in remedies_for(trial, finding)
        for edit in remedy.edits
        if isinstance(edit, Plug) and set(edit.link.items) == {"mic", "desk"}
    ]
    assert plugs[0].link.via == (Cable("cable-xlr", 20.0), Cable("cable-xlr", 5.0))


@pytest.mark.parametrize(
    ("via", "type_id", "expected"),
    [
        (("cable-jack 3 m", "cable-jack 5 m"), "cable-jack", (Cable("cable-jack", 8.0),)),
        (("cable-jack 3 m", "cable-xlr 5 m"), "lead-jack-xlr", (Cable("lead-jack-xlr", 8.0),)),
        (("cable-jack", "cable-xlr"), "lead-jack-xlr", (Cable("lead-jack-xlr"),)),
        (("cable-jack 1 m", "cable-jack 5 m"), "cable-jack", (Cable("cable-jack", 5.0),)),
        (("cable-jack 1 m", "cable-jack 2 m"), "cable-jack", (Cable("cable-jack", 2.0),)),
    ],
)
def test_leads_that_do_not_join_become_one_as_long(
    via: tuple[str, str], type_id: str, expected: tuple[Cable, ...]
) -> None:
    """Two jack plugs do not go into each other."""
    first, second = (Link({"a": "x.out", "b": "y.in"}, (cable_of(each),)) for each in via)
    cable = load_book().cable(type_id)
    assert lead_past(first, second, cable, {"a": "x.out", "b": "z.in"}).via == expected


def test_another_lead_is_as_long_as_all_cables_before() -> None:
    """20 m and 10 m are 30 m; an adaptor has no length."""
    via = (Cable("cable-xlr", 20.0), Cable("cable-xlr", 10.0), Cable("adaptor-xlr-reverse"))
    link = Link({"a": "mic.out", "b": "desk.ch1.mic"}, via)
    assert link.another_lead("cable-xlr").via == (Cable("cable-xlr", 30.0),)
    assert Link(link.ends).another_lead("cable-xlr").via == (Cable("cable-xlr"),)
