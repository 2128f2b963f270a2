"""How far long work is, at a terminal."""

from __future__ import annotations

import io

from levelhead.cli.progress import ways_out_tried
from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import parse_show
from levelhead.verdicts.told.severity import Severity
from tests.web.hall import TEXT


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_line_says_how_far_it_is_and_is_gone_at_the_end() -> None:
    terminal, seconds = Terminal(), iter([0.0, 0.5, 2.0, 3.0])
    with ways_out_tried(terminal, lambda: next(seconds)) as told:
        assert told is not None
        told(0, 12)
        assert terminal.getvalue() == ""
        told(10, 12)
        told(9, 12)
    line = "Trying ways out: 10 of 12 findings. Ctrl+C stops."
    gone = "\r" + " " * len(line) + "\r"
    assert terminal.getvalue() == f"\r{line}\r{line.replace('10', '9')} {gone}"


def test_in_a_pipe_nothing_is_said() -> None:
    with ways_out_tried(io.StringIO()) as told:
        assert told is None


def test_each_finding_that_is_worse_than_fine_is_counted() -> None:
    show = parse_show(TEXT.replace("mic-vocal-dynamic", "mic-vocal-condenser"), "hall").show
    heard: list[tuple[int, int]] = []
    check = check_show(show, load_book(), told=lambda done, of: heard.append((done, of)))
    worse = [each for each in check.findings if each.severity is not Severity.FINE]
    assert heard == [(number, len(worse)) for number in range(len(worse))]
    assert worse
