"""One sign on screens: a real minus before figures; what goes back to the program stays plain."""

from __future__ import annotations

from levelhead.web.pages import rendered
from levelhead.web.question import question_from_form


def test_what_is_read_has_real_minus_signs_and_fields_keep_their_texts() -> None:
    """A hidden field goes into a file as it is."""
    question = question_from_form({"from": "laptop", "to": "mixer", "at": "-10 dBV"})
    page = rendered("keep.html", request=question, shows=(), title="-6 dB of cable-2").body.decode()
    assert 'value="-10 dBV"' in page
    refusal = {"what": "-3 dB in cable-2", "where": "", "expected": "", "remedy": ""}
    assert (
        "\N{MINUS SIGN}3 dB in cable-2" in rendered("refusal.html", refusal=refusal).body.decode()
    )
