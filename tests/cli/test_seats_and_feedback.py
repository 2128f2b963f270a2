"""Seats and feedback as commands: 80 columns, JSON, and what stands against them."""

from __future__ import annotations

from pathlib import Path

import pytest

from levelhead.quantity.bands import BANDS
from tests.cli.conftest import EXAMPLES, Levelhead

PUB = (EXAMPLES / "duo-in-a-pub.yaml").read_text(encoding="utf-8")
PLAY = str(EXAMPLES / "school-play.yaml")
SHOWS = sorted(str(path) for path in EXAMPLES.glob("*.yaml"))
ROOM = "room: {corners: [[-4, -3], [4, -3], [4, 9], [-4, 9]], height: 3 m, reverberation: 0.7 s}\n"
TABLES = "areas: {tables: {corners: [[-3, 2], [3, 2], [3, 8], [-3, 8]]}}\n"


@pytest.fixture
def pub(tmp_path: Path) -> str:
    """The pub with a room and tables."""
    path = tmp_path / "pub.yaml"
    path.write_text(f"{PUB}\n{ROOM}{TABLES}", encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("command", ["seats", "feedback"])
@pytest.mark.parametrize("show", SHOWS)
def test_every_example_is_answered(levelhead: Levelhead, command: str, show: str) -> None:
    """In 80 columns, and as JSON without infinities."""
    text, data = levelhead(command, show), levelhead(command, show, "--json")
    assert text.status == data.status
    assert text.status in {0, 1}
    assert (text.err, data.err) == ("", "")
    assert max(len(line) for line in text.out.splitlines()) <= 80
    assert "Infinity" not in data.out
    assert "NaN" not in data.out


def test_seats_of_the_pub(levelhead: Levelhead, pub: str) -> None:
    """All that docs/formats.md names, and nothing is assumed any more."""
    data = levelhead("seats", pub, "--json").json
    assert data["remarks"] == []
    assert data["room"]["volume_m3"] == 288.0
    (tables,) = data["areas"]
    assert tables["seats"] == 36
    assert tables["lowest_dba"] <= tables["level_dba"] <= tables["highest_dba"]
    assert 0.5 < tables["sti"] < 0.8
    assert set(tables["doses_percent"]) == {"NIOSH", "OSHA", "EU 2003/10/EC"}


def test_a_fader_moves_the_seats(levelhead: Levelhead, pub: str) -> None:
    """The level at the tables follows the volts: the main down, the ears too."""
    before = levelhead("seats", pub, "--json").json["areas"][0]["level_dba"]
    quiet = levelhead("seats", pub, "--set", "desk.main=-20 dB", "--json").json
    assert before - quiet["areas"][0]["level_dba"] > 3


def test_feedback_of_the_pub(levelhead: Levelhead, pub: str) -> None:
    """The median is nearer than the mean, the sure one nearer still; shares add up."""
    data = levelhead("feedback", pub, "--json").json
    margin = data["margin"]
    assert -margin["mean_loop_gain_db"] > margin["even_chance_db"]
    assert margin["even_chance_db"] > margin["nineteen_of_twenty_db"]
    assert margin["spare_after_6_db"] == pytest.approx(-margin["mean_loop_gain_db"] - 6, abs=0.11)
    assert len(margin["mean_db"]) == len(margin["bands"]) == BANDS
    for name in ("microphones", "loudspeakers"):
        assert sum(each["share"] for each in data[name]) == pytest.approx(1.0, abs=0.01)
    buys = [each["buys_db"] for each in data["moves"]]
    assert buys == sorted(buys, reverse=True)
    assert all(each >= 0.3 for each in buys)


def test_more_gain_is_nearer_to_ringing(levelhead: Levelhead, pub: str) -> None:
    """10 dB more on one voice, up to 10 dB less margin."""
    soft, loud = (
        levelhead("feedback", pub, "--set", f"desk.ch1.gain={gain} dB", "--json").json["margin"]
        for gain in (20, 40)
    )
    assert 3.0 < soft["even_chance_db"] - loud["even_chance_db"] <= 20.0


@pytest.mark.parametrize(
    ("typed", "code", "severity"),
    [
        (
            "room: {corners: [[-4, 0], [4, 9], [4, 0], [-4, 9]], height: 3 m}\n",
            "acoustics.overlapping-walls",
            "fails",
        ),
        ("room: {volume: 300 m3, absorption: 0}\n", "acoustics.zero-absorption", "fails"),
        ("room: {height: 3 m}\n", "acoustics.no-size", "care"),
        ("room: {volume: 300 m3}\n", "acoustics.no-reverberation", "care"),
        (
            "room: {corners: [[-4, 0], [4, 0], [0, 9]]}\nareas: {far: {at: [0, 90, 1]}}\n",
            "acoustics.beyond-walls",
            "care",
        ),
        ("areas: {strip: {corners: [[0, 2], [4, 2]]}}\n", "acoustics.no-area", "fails"),
        ("areas: {row: {at: [-2, 0.35, 1.8]}}\n", "acoustics.inside-loudspeaker", "fails"),
        (
            "room: {corners: [[0, 0], [1, 0], [1, 1]], height: 1 m}\n",
            "acoustics.volume",
            "fails",
        ),
        (
            "areas: {bow: {corners: [[-4, 2], [4, 9], [4, 2], [-4, 9]]}}\n",
            "acoustics.overlapping-edges",
            "fails",
        ),
        ("room: {volume: 300 m3, floor: 5 m}\n", "acoustics.beyond-walls", "care"),
    ],
)
def test_what_cannot_be_is_told(levelhead: Levelhead, typed: str, code: str, severity: str) -> None:
    """A code, and status 1 where no answer can be had."""
    ran = levelhead("seats", "-", "--json", stdin=f"{PUB}\n{typed}".encode())
    found = {each["code"]: each["severity"] for each in ran.json["remarks"]}
    assert found.get(code) == severity
    assert ran.status == int("fails" in found.values())


def test_no_loudspeaker_is_told(levelhead: Levelhead) -> None:
    """Nor can anything ring."""
    show = b"levelhead: 1\nshow: {name: Empty}\n"
    seats, feedback = (levelhead(name, "-", "--json", stdin=show) for name in ("seats", "feedback"))
    assert seats.status == 1
    assert "acoustics.no-loudspeaker" in {each["code"] for each in seats.json["remarks"]}
    assert (feedback.status, feedback.json["margin"]) == (0, None)
    assert "acoustics.no-loop" in {each["code"] for each in feedback.json["remarks"]}


NOWHERE = """levelhead: 1
show: {name: Nowhere}
items:
  a: {type: mic-vocal-dynamic}
  b: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
  box: {type: loudspeaker-powered-12, at: [0, 0, 2], aim: [0, 8, 1]}
links:
  - {from: a.out, to: desk.ch1.mic}
  - {from: b.out, to: desk.ch2.mic}
  - {from: desk.main-left.out, to: box.in}
"""


@pytest.mark.parametrize(
    ("settings", "code", "status"),
    [("", "acoustics.unknown-loop", 1), ("settings: {desk: {main: off}}", "acoustics.no-loop", 0)],
)
def test_microphones_without_a_place_are_no_proof_that_nothing_rings(
    levelhead: Levelhead, settings: str, code: str, status: int
) -> None:
    """That it cannot ring is said only where nothing reaches a loudspeaker."""
    show = (NOWHERE + settings).encode()
    told = levelhead("feedback", "-", "--json", stdin=show)
    assert code in {each["code"] for each in told.json["remarks"]}
    assert told.status == status
    text = " ".join(levelhead("feedback", "-", stdin=show).out.split())
    assert ("nothing can ring" in text) is (status == 0)
    assert "A and b have no place and are left out: give them 'at'." in text


def test_what_rings_is_told_with_how_far_to_turn_it_down(levelhead: Levelhead) -> None:
    """Turned down by so much, and a decibel for rounding, one room in twenty rings no more."""
    placed = NOWHERE.replace("dynamic}", "dynamic, at: [0, 2, 1.5], aim: [0, 0, 2]}", 1)

    def ran(main_db: int) -> str:
        settings = f"settings: {{desk: {{ch1: {{gain: 60 dB}}, main: {main_db} dB}}}}\n"
        shown = levelhead("feedback", "-", stdin=(placed + settings).encode())
        return " ".join(shown.out.split())

    told = ran(0)
    assert "FAILS As it stands it rings, more likely than not." in told
    less_db = int(told.partition("master down by ")[2].partition(" dB")[0])
    assert less_db > 0
    assert "master down by" not in ran(-less_db)


def test_every_remark_stands_in_the_manual() -> None:
    """By its code."""
    source = Path(__file__).parents[2] / "src" / "levelhead" / "acoustics"
    page = (Path(__file__).parents[2] / "docs" / "acoustics.md").read_text(encoding="utf-8")
    text = "".join(path.read_text(encoding="utf-8") for path in source.rglob("*.py"))
    codes = {part.partition('"')[0] for part in text.split('"acoustics.')[1:]}
    assert len(codes) >= 10
    assert [each for each in codes if f"`acoustics.{each}`" not in page] == []


@pytest.mark.parametrize(("name", "starts"), [("m.svg", b"<svg"), ("m.png", b"\x89PNG")])
def test_the_map_is_written_by_the_command(
    levelhead: Levelhead, pub: str, tmp_path: Path, name: str, starts: bytes
) -> None:
    """As vectors, or as pixels."""
    told = levelhead("seats", pub, "--map", str(tmp_path / name))
    assert (told.status, told.out) == (0, "")
    assert (tmp_path / name).read_bytes().startswith(starts)


def test_a_map_with_another_ending_is_refused(
    levelhead: Levelhead, pub: str, tmp_path: Path
) -> None:
    told = levelhead("seats", pub, "--map", str(tmp_path / "m.docx"))
    assert told.status == 2
    assert "a name that ends in .svg or .png" in " ".join(told.err.split())


def test_levels_end_at_the_seats(levelhead: Levelhead) -> None:
    """In the table and as JSON; one point asked for is one point."""
    table = levelhead("levels", PLAY)
    assert "Where people listen, A-weighted" in table.out
    points = levelhead("levels", PLAY, "--json").json["points"]
    assert [each["at"] for each in points[-2:]] == ["areas.parents", "areas.desk"]
    alone = levelhead("levels", PLAY, "--path", "lea", "--json").json["points"]
    assert alone[-2]["nominal"] < points[-2]["nominal"] - 3
    one = levelhead("levels", PLAY, "--at", "left.driver", "--json").json["points"]
    assert [each["at"] for each in one] == ["left.driver"]
