"""The small level picture of an answer."""

from __future__ import annotations

import pytest

from levelhead.chain.solution import PointLevels
from levelhead.cli.reports.level_picture import level_picture


def point(
    at: str, nominal: float | None, peak: float, ceiling: float | None, **more: object
) -> PointLevels:
    unit, floor = str(more.get("unit", "dBu")), more.get("floor")
    return PointLevels(
        at, unit, nominal, peak, ceiling, floor if isinstance(floor, float) else None, None
    )


def rows(*points: PointLevels, kept: set[str] = frozenset()) -> list[str]:  # type: ignore[assignment]
    """Lines of the points, without head and key."""
    return level_picture(points, {each.at: each.at for each in points}, kept=kept)[1:-1]


def bar(line: str) -> str:
    return line[52:73].rstrip()


def test_a_bar_reads_floor_nominal_peak_ceiling() -> None:
    """20 dB below the ceiling stands the nominal level: four signs of 5 dB."""
    (line,) = rows(point("desk.out", 0.0, 10.0, 20.0, floor=-60.0))
    drawn = bar(line)
    assert drawn[-1] == "|"
    assert drawn.count(">") == 2  # 10 dB from nominal to peak
    assert (
        len(drawn) - 1 - drawn.rindex(">") - 1 == 1
    )  # 10 dB of room: one free sign, then the wall
    assert drawn.count("=") == 13  # 60 dB from the floor to nominal, and nominal itself
    assert drawn.startswith(".")


def test_what_clips_is_seen_beyond_the_wall() -> None:
    (line,) = rows(point("amp.out", 20.0, 30.0, 20.0))
    assert bar(line).endswith("|!!")
    assert "-10.0" in line


def test_a_peak_just_over_its_ceiling_is_seen_too() -> None:
    (line,) = rows(point("amp.out", 10.0, 20.4, 20.0))
    assert bar(line).endswith("!")
    assert "-0.4" in line


def test_points_of_one_unit_share_a_scale_and_each_unit_has_its_own() -> None:
    lines = rows(
        point("mic.out", -40.0, -30.0, 0.0),
        point("desk.out", 0.0, 10.0, 20.0),
        point("pa.driver", 100.0, 110.0, 120.0, unit="dB SPL"),
    )
    assert [bar(line).index("|") for line in lines] == [16, 20, 20]


def test_a_point_that_repeats_the_one_before_is_left_out() -> None:
    same = (point("feed.output", 4.0, 13.0, 22.0), point("feed.out", 3.9, 12.9, 21.9))
    assert [line.split()[0] for line in rows(*same)] == ["feed.output"]
    assert len(rows(*same, kept={"feed.out"})) == 2


def test_silent_points_are_left_out_and_silence_draws_nothing() -> None:
    assert level_picture([point("a.b", None, 0.0, 1.0)], {"a.b": "a.b"}, kept=set()) == []


@pytest.mark.parametrize("level", [-400.0, 0.0, 400.0])
def test_every_level_stays_inside_80_columns(level: float) -> None:
    lines = rows(
        point("a-long-name-of-an-item.with-a-long-stage", level, level + 20, level - 9, floor=-5.0),
        point("b.c", 0.0, 3.0, 20.0),
        point("c.d", 0.0, 3.0, None, unit="dB SPL"),
    )  # fmt: skip
    assert max(len(line) for line in lines) <= 80


def test_of_a_long_name_the_end_stays() -> None:
    """Two stages of one strip begin alike."""
    names = {
        "a": "analogue mixer main-left.insert-return",
        "b": "analogue mixer phones-left.amplifier-left",
    }
    points = [point("a", 4.0, 13.0, 21.0), point("b", -20.0, -11.0, 21.0)]
    picture = level_picture(points, names, kept=set(names))
    assert [line[:31].strip() for line in picture[1:3]] == [
        "ana... main-left.insert-return",
        "...phones-left.amplifier-left",
    ]
