"""Somebody at a terminal is asked where the words fit several kinds of gear alike."""

from __future__ import annotations

import io
import sys

import pytest

from levelhead.cli import main

Shown = pytest.CaptureFixture[str]


@pytest.fixture
def keys(monkeypatch: pytest.MonkeyPatch) -> io.StringIO:
    """Somebody sits there; what is typed comes from the stream."""
    monkeypatch.setattr("levelhead.cli.commands.ask.is_at_a_terminal", lambda: True)
    stream = io.StringIO()
    monkeypatch.setattr(sys, "stdin", stream)
    return stream


def answered(keys: io.StringIO, typed: str, *question: str) -> None:
    keys.write(typed)
    keys.seek(0)
    main(["ask", *question])


def words(shown: Shown) -> tuple[str, str]:
    """Answer and question, without their line breaks."""
    out, err = shown.readouterr()
    return " ".join(out.split()), " ".join(err.split())


def test_a_number_chooses_the_kind(keys: io.StringIO, capsys: Shown) -> None:
    answered(keys, "2\n", "keyboard", "DI")
    told, asked = words(capsys)
    assert "Into DI box, active" in told
    assert "'DI' may be: 1 DI box, passive" in asked


@pytest.mark.parametrize("typed", ["\n", "", "9\n1\n"])
def test_nothing_typed_is_the_first(keys: io.StringIO, capsys: Shown, typed: str) -> None:
    """Also at the end of the input; a number that is none is asked again."""
    answered(keys, typed, "keyboard", "DI")
    assert "Into DI box, passive, with transformer" in words(capsys)[0]


def test_a_choice_keeps_the_conditions(keys: io.StringIO, capsys: Shown) -> None:
    answered(keys, "2\n", "keyboard", "DI with pad in, 5 m")
    told, _ = words(capsys)
    assert "Into DI box, active" in told
    assert "pad in: pad of active di at 20-db" in told
    assert "5 m: lead of 5 m" in told


def test_who_pipes_is_not_asked(capsys: Shown) -> None:
    main(["ask", "keyboard", "DI"])
    assert "may be:" not in words(capsys)[1]
