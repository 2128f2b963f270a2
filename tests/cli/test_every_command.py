"""Every command, with and without ``--json``: exit status, shape, 80 columns, plain text."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from levelhead.cli.reports.columns import cut_front
from levelhead.gear.book import load_book

Levelhead = Callable[..., Any]

EXAMPLES: Final = Path(__file__).parents[2] / "src" / "levelhead" / "examples"
SHOWS: Final = tuple(
    str(EXAMPLES / f"{name}.yaml") for name in ("duo-in-a-pub", "village-hall", "church-with-band")
)
QUESTIONS: Final = (
    ("amp speaker out", "powered loudspeaker line input"),
    ("amp speaker out", "powered loudspeaker mic input"),
    ("amp link output", "powered loudspeaker line input"),
    ("laptop headphones", "compact mixer stereo line"),
    ("active di on battery", "compact mixer line"),
    ("active di on phantom only", "line mixer"),
    ("passive di", "line mixer trim"),
    ("passive di", "compact mixer mic"),
    ("media player", "compact mixer stereo line"),
    ("condenser mic", "compact mixer mic"),
)
LONGEST_ADDRESS: Final = 30  # columns that the table has for one
VERDICTS: Final = {"fine": 0, "care": 0, "fails": 1, "harm": 1}
POINT_KEYS: Final = {"at", "unit", "nominal", "peak", "ceiling", "floor", "headroom"}
FINDING_KEYS: Final = {
    "code", "family", "severity", "where", "what", "why", "margin", "margin_unit", "p_holds",
    "flips", "settle_by", "remedies", "assumed", "source", "basis",
}  # fmt: skip
ANSWER_KEYS: Final = {
    "from", "to", "verdict", "depends_on", "cable", "gain", "levels", "findings", "links",
}  # fmt: skip


def assert_plain(text: str) -> None:
    """At most 80 columns, no colour, nothing behind the last word of a line."""
    assert text.strip()
    assert [line for line in text.splitlines() if len(line) > 80] == []
    assert "\x1b" not in text
    assert [line for line in text.splitlines() if line != line.rstrip()] == []


def assert_findings(findings: list[dict[str, Any]]) -> None:
    """The frozen shape of a finding; remedies name edits and what they lead to."""
    for finding in findings:
        assert finding.keys() >= FINDING_KEYS
        assert finding["severity"] in VERDICTS
        assert finding["code"].startswith(finding["family"] + ".")
        for remedy in finding["remedies"]:
            assert remedy["do"]
            assert remedy["edits"]
            assert remedy["verdict_after"] in VERDICTS


@pytest.mark.parametrize(
    "argv",
    [
        (),
        ("levels",),
        ("check",),
        ("ask",),
        ("gear",),
        ("example",),
        ("paper",),
        ("import",),
        ("open",),
    ],
)
def test_help_fits(levelhead: Levelhead, argv: tuple[str, ...]) -> None:
    ran = levelhead(*argv, "--help")
    assert ran.status == 0
    assert_plain(ran.out)


def test_help_of_a_command_shows_an_example(levelhead: Levelhead) -> None:
    assert "Example: levelhead check hall.yaml" in levelhead("check", "--help").out


def test_the_version_is_that_of_the_package(levelhead: Levelhead) -> None:
    from importlib.metadata import version

    assert levelhead("--version").out == f"levelhead {version('levelhead')}\n"


@pytest.mark.parametrize("show", SHOWS)
def test_levels(levelhead: Levelhead, show: str) -> None:
    text, data = levelhead("levels", show), levelhead("levels", show, "--json")
    assert (text.status, text.err, data.status, data.err) == (0, "", 0, "")
    assert_plain(text.out)
    assert data.json.keys() == {"points", "paths"}
    addresses = {point["at"] for point in data.json["points"]}
    for point in data.json["points"]:
        assert point.keys() == POINT_KEYS
        assert cut_front(point["at"], LONGEST_ADDRESS) in text.out
    assert {address for path in data.json["paths"] for address in path} <= addresses


@pytest.mark.parametrize("show", SHOWS)
@pytest.mark.parametrize("more", [(), ("--all",)])
def test_check(levelhead: Levelhead, show: str, more: tuple[str, ...]) -> None:
    text, data = levelhead("check", show, *more), levelhead("check", show, *more, "--json")
    status = VERDICTS[data.json["verdict"]]
    assert (text.status, text.err, data.status, data.err) == (status, "", status, "")
    assert_plain(text.out)
    assert text.out.startswith(data.json["verdict"].upper())
    assert data.json.keys() >= {"verdict", "depends_on", "findings", "links"}
    assert_findings(data.json["findings"])
    severities = {finding["severity"] for finding in data.json["findings"]}
    assert ("fine" in severities) == bool(more)


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("more", [(), ("--all",)])
def test_ask(levelhead: Levelhead, question: tuple[str, str], more: tuple[str, ...]) -> None:
    text, data = levelhead("ask", *question, *more), levelhead("ask", *question, "--json")
    status = VERDICTS[data.json["verdict"]]
    assert (text.status, text.err, data.status, data.err) == (status, "", status, "")
    assert_plain(text.out)
    assert data.json.keys() >= ANSWER_KEYS
    assert_findings(data.json["findings"])
    assert f"\n{data.json['verdict'].upper():<8}" in text.out
    assert all(point.keys() == POINT_KEYS for point in data.json["levels"])


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_one_sentence_is_said_once(levelhead: Levelhead, question: tuple[str, str]) -> None:
    why = levelhead("ask", *question, "--json").json["why"]
    words = " ".join(levelhead("ask", *question).out.split())
    assert words.count(why) == 1


def test_gear_lists_every_type(levelhead: Levelhead) -> None:
    text, data = levelhead("gear"), levelhead("gear", "--json")
    assert (text.status, data.status) == (0, 0)
    assert_plain(text.out)
    assert [row["id"] for row in data.json] == list(load_book().ids)
    flat = " ".join(text.out.split())
    for row in data.json:
        assert f"{row['id']} {row['label']}" in flat  # wrapped perhaps, never cut


@pytest.mark.parametrize("type_id", load_book().ids)
def test_gear_shows_every_type(levelhead: Levelhead, type_id: str) -> None:
    text, data = levelhead("gear", type_id), levelhead("gear", type_id, "--json")
    assert (text.status, data.status) == (0, 0)
    assert_plain(text.out)
    assert data.json["id"] == type_id
    assert data.json["label"] in " ".join(text.out.split())


def test_json_is_written_as_it_is(levelhead: Levelhead, tmp_path: Path, duo: str) -> None:
    """Names keep their letters."""
    show = tmp_path / "show.yaml"
    text = Path(duo).read_text(encoding="utf-8")
    show.write_text(text.replace("Mia's microphone", "Mikrofon für Åse"), encoding="utf-8")
    out = levelhead("check", str(show), "--json", "--all").out
    assert "Mikrofon für Åse" in out
    json.loads(out)


def test_paper_writes_a_pdf_and_keeps_what_it_was_printed_from(
    levelhead: Levelhead, tmp_path: Path, duo: str
) -> None:
    show, place = tmp_path / "duo.yaml", tmp_path / "list.pdf"
    show.write_bytes(Path(duo).read_bytes())
    ran = levelhead("paper", str(show), "-o", str(place))
    assert (ran.status, ran.out) == (0, "")
    assert place.read_bytes().startswith(b"%PDF-")
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {"duo.yaml", "duo.yaml.history", "list.pdf"}
