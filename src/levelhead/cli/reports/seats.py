"""``levelhead seats``: what listeners get, area by area, in 80 columns."""

from __future__ import annotations

from typing import Final

from levelhead.acoustics.heard.heard import OCTAVES_HZ, AreaHeard, Heard
from levelhead.acoustics.listening.exposure import RULES
from levelhead.acoustics.listening.speech import rating
from levelhead.acoustics.remarks import Remark, told_together
from levelhead.cli.reports.columns import cut, entry, paragraph

__all__ = ["remark_lines", "seats_report"]

_NAME: Final = 20
_WORK: Final = {"desk": "at desk", "performer": "on stage", "in-ear": "in ear"}


def seats_report(heard: Heard, title: str) -> str:
    """Room, levels, octaves, dose, and what was assumed."""
    lines = [f"{title}: seats, everything at its loud passage", "", *_room(heard)]
    if heard.areas:
        lines += _levels(heard.areas) + _octaves(heard.areas) + _noise(heard.areas)
        lines += _delays(heard) + _meetings(heard) + _combs(heard) + _doses(heard)
    return "\n".join([*lines, *remark_lines(heard.remarks)])


def _room(heard: Heard) -> list[str]:
    room = heard.located.venue.room
    if room is None:
        return entry("Place", "no room: straight sound and that off the floor only")
    times = room.reverberation_s[2::3][1:9]
    said = (
        f"{room.volume_m3:.0f} m3, {room.surface_m2:.0f} m2 around; reverberation "
        f"{times[1]:.1f} s at 125 Hz, {times[3]:.1f} s at 500 Hz, {times[5]:.1f} s at 2 kHz. "
        f"Below {room.schroeder_hz:.0f} Hz single modes decide: no level at one seat can be told."
    )
    return entry("Room", said)


def _levels(areas: tuple[AreaHeard, ...]) -> list[str]:
    head = f"{'seats':>6}{'dB(A)':>7}{'lowest':>8}{'highest':>8}{'direct':>8}{'S/N':>6}{'STI':>6}"
    lines = ["", f"{'':{_NAME}}{head}  speech"]
    for each in areas:
        levels = each.seats.a_weighted_db
        sti = each.sti
        lines.append(
            f"{cut(each.area.name, _NAME - 1):{_NAME}}{len(levels):>6}{each.level_db:>7.1f}"
            f"{levels.min():>8.1f}{levels.max():>8.1f}{_or_dash(each.direct_to_reverberant_db, 8)}"
            f"{_or_dash(each.signal_to_noise_db, 6)}"
            f"{'-' if sti is None else f'{sti:.2f}':>6}  {'-' if sti is None else rating(sti)}"
        )
    note = (
        "dB(A) is the mean of the area; direct is direct over reverberant sound, 500 Hz to "
        "4 kHz, in dB; S/N and STI are those of the voices, where there are any, STI within 0.05."
    )
    return [*lines, *paragraph(note)]


def _octaves(areas: tuple[AreaHeard, ...]) -> list[str]:
    names = [f"{hz // 1000}k" if hz >= 1000 else str(hz) for hz in OCTAVES_HZ]  # noqa: PLR2004 - kilo
    lines = ["", f"{'dB SPL in octaves':{_NAME}}" + "".join(f"{name:>7}" for name in names)]
    for each in areas:
        numbers = "".join(f"{level:>7.1f}" for level in each.octaves_db)
        lines.append(f"{cut(each.area.name, _NAME - 1):{_NAME}}{numbers}")
    worst = max(areas, key=lambda each: float(each.spread_db.max())).spread_db
    if worst.max() > 0:
        spreads = "".join(f"{spread:>7.1f}" for spread in worst)
        lines.append(f"{'give or take':{_NAME}}{spreads}")
    return lines


def _noise(areas: tuple[AreaHeard, ...]) -> list[str]:
    """Hiss of the chain, where it is loudest."""
    told = {each.area.name: each.hiss_dba for each in areas}
    known = {name: level for name, level in told.items() if level is not None}
    if not known:
        return []
    worst = max(known, key=lambda name: known[name])
    said = f"of the chain at the loudest seat: {known[worst]:.0f} dB(A), {worst}."
    return ["", *entry("Hiss", said)]


def _meetings(heard: Heard) -> list[str]:
    """Subwoofers against what stands above them."""
    lines: list[str] = []
    for each in heard.subwoofers:
        set_up = each.alignment
        delays = [
            f"{1000 * late_s:.1f} ms on {name}"
            for name, late_s in (
                (each.sub.name, set_up.delay_sub_s),
                (each.main.name, set_up.delay_main_s),
            )
            if late_s > 0
        ]
        turned = [f"the polarity of {each.sub.name} turned"] if set_up.inverted else []
        best = " and ".join([*delays, *turned]) or "as it stands"
        said = (
            f"{each.sub.name} and {each.main.name} meet at {each.crossover_hz:.0f} Hz, "
            f"{each.phase_deg:.0f} degrees apart in the middle of the first area: together "
            f"{each.now_db:+.1f} dB against one alone. In time, {set_up.sum_db:+.1f} dB: {best}."
        )
        lines += ["", *entry("Sub", said)]
    return lines


def _combs(heard: Heard) -> list[str]:
    """Where two loudspeakers of one signal colour each other."""
    lines: list[str] = []
    for each in heard.combs:
        low, high = (f"{hz:.0f}" for hz in each.null_hz or (0.0, 0.0))
        said = (
            f"{each.area}: at {each.share:.0%} of the seats {each.one} and {each.other} colour "
            f"each other, up to {each.ripple_db:.0f} dB from peak to dip; the first null is at "
            f"{low} to {high} Hz."
        )
        lines += ["", *entry("Comb", said)]
    return lines


def _delays(heard: Heard) -> list[str]:
    if not heard.delays:
        return []
    lines = ["", f"{'Delay':{_NAME}}{'set':>9}{'now':>9}{'louder':>11}  may be"]
    lines += [
        f"{cut(each.name, _NAME - 1):{_NAME}}{1000 * each.set_s:>6.1f} ms"
        f"{1000 * each.now_s:>6.1f} ms{each.louder_db:>+8.1f} dB  {each.may_be_db:+.0f} dB"
        for each in heard.delays
    ]
    note = (
        "Against the front, 3 m before the loudspeaker: what to set, 15 ms behind the first "
        "sound, and how much louder it is and may be there."
    )
    return [*lines, *paragraph(note)]


def _doses(heard: Heard) -> list[str]:
    names = "".join(f"{rule.name.removesuffix(' 2003/10/EC'):>8}" for rule in RULES)
    lines = ["", f"{'Dose of a stay':{_NAME}}{'hours':>7}{'LEX,8h':>8}{names}  worst 15 min"]
    for each in heard.areas:
        told = each.exposure
        doses = "".join(f"{dose:>6.0f} %" for dose in told.doses_percent)
        over = "over 100" if told.over_venue_db > 0 else "within 100"
        lines.append(
            f"{cut(each.area.name, _NAME - 1):{_NAME}}{each.stay_s / 3600:>7.1f}"
            f"{told.daily_db:>8.1f}{doses}  {told.worst_quarter_db:.1f}, {over}"
        )
    lines += [
        f"{cut(each.name, _NAME - 1):{_NAME}}{each.stay_s / 3600:>7.1f}"
        f"{each.exposure.daily_db:>8.1f}"
        + "".join(f"{dose:>6.0f} %" for dose in each.exposure.doses_percent)
        + f"  {each.exposure.worst_quarter_db:.1f}, {_WORK[each.kind]}"
        for each in heard.at_work
    ]
    note = (
        "From the loudspeakers alone, the loud passage all the time: whoever plays or sings gets "
        "the own instrument or voice on top. NIOSH 85 dB(A), OSHA 90, 2003/10/EC 87 over 8 h are "
        "100 %; WHO guides venues to 100 dB over 15 minutes. "
    )
    return [*lines, *paragraph(note + heard.to_json()["law"])]


def _or_dash(value: float | None, width: int) -> str:
    return f"{'-':>{width}}" if value is None else f"{value:>{width}.1f}"


def remark_lines(remarks: tuple[Remark, ...]) -> list[str]:
    """What stands against the answer, and what was assumed."""
    lines = [""] if remarks else []
    for each in told_together(remarks):
        lines += entry(each.severity.upper(), f"{each.what[0].upper()}{each.what[1:]}.")
    return lines
