"""A real minus sign in what a drawing says, and plain figures in what turns and places it."""

from __future__ import annotations

import re

from levelhead.exchange.sheets.pack import paper_pack
from levelhead.paper.content import template_data
from tests.paper.test_pack import checked


def test_drawings_stand_where_they_are_drawn() -> None:
    """A loudspeaker that is turned to the left has a negative angle in its drawing."""
    (sheet,) = template_data(paper_pack(checked("duo-in-a-pub.yaml"), ("stage",)), "a4")["sheets"]
    svg = " ".join(each["svg"] for each in sheet["pictures"])
    assert re.search(r"rotate\(-\d", svg)
    assert not any("\N{MINUS SIGN}" in tag for tag in re.findall(r"<[^>]*>", svg))
