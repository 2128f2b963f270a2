"""Make the walk along a channel: its stops with what each reads, and what the show says already."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain
from typing import Final

from levelhead.exchange.paperwork.crew_words import crew_words
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.walk import distorted, hum, looking, silent, thin
from levelhead.exchange.walk.cautions import EARTH_CAUTION, MUTE_FIRST, caution_of
from levelhead.exchange.walk.model import Candidate, Expected, Stop, Symptom, Walk
from levelhead.exchange.walk.places import Ground, Place, places
from levelhead.exchange.walk.route import Route, route_of
from levelhead.exchange.walk.words import title_of, who_words
from levelhead.planning.check import Check
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial
from levelhead.rig.model import RigPort
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["walk", "walked"]

_FAMILIES: Final[dict[Symptom, tuple[str, ...]]] = {
    "silent": ("phantom", "wiring", "fit", "routing", "enough", "digital"),
    "thin": ("wiring", "loading", "routing", "phantom"),
    "hum": ("hum", "wiring"),
    "distorted": ("enough", "phantom", "harm", "amplifier", "loading"),
}
_MOST_SAID: Final = 4
_MOST_TRIED: Final = 4


def walk(work: Paperwork, port: RigPort, symptom: Symptom, to: str | None = None) -> Walk:
    """The walk along a channel; as :func:`walked`, without what it was read from."""
    return walked(work, port, symptom, to)[0]


def walked(
    work: Paperwork, port: RigPort, symptom: Symptom, to: str | None = None
) -> tuple[Walk, Ground]:
    """The walk along a channel, and what it was read from.

    Where the show itself lets nothing through, the readings are those with its first remedy done,
    and it says which.

    Parameters
    ----------
    work
        The show as it stands.
    port
        The input that is meant (:func:`channel_meant`).
    to
        Id of the item at which the walk ends; the loudest loudspeaker of the audience if left out.

    Raises
    ------
    AskError
        Nothing is plugged there, or the channel does not lead to that end.
    """
    route = route_of(work, port, to)
    found = list(_findings(work, route, symptom))
    said = [f"{each.severity.value}: {crew_words(work, each.what)}" for each in found[:_MOST_SAID]]
    if not route.is_open:
        mended = _mended(work, route, to)
        if mended is None:
            said.append(
                "As the show stands nothing comes out: readings behind the last place that has a "
                "signal are not known."
            )
        else:
            work, route = mended.work, mended.route
            said.append(f"Readings are told with this done: {mended.do}.")
    ground = Ground(work, route)
    stops = tuple(_stops(ground, symptom))
    made = Walk(
        symptom=symptom,
        channel=port.address,
        who=who_words(work, ground),
        place=work.end(port),
        end=_called(work, route),
        end_at=_end_item(work, route),
        said=tuple(said),
        stops=stops,
        ends=_others(work, route),
        cautions=_cautions(symptom),
    )
    return made, ground


def _cautions(symptom: Symptom) -> tuple[str, ...]:
    return (EARTH_CAUTION, MUTE_FIRST) if symptom == "hum" else (MUTE_FIRST,)


def _end_item(work: Paperwork, route: Route) -> str:
    points = (*route.before, *route.after)
    return work.check.trial.solution.point(points[-1]).item


def _called(work: Paperwork, route: Route) -> str:
    return work.called(work.rig.items[_end_item(work, route)])


def _others(work: Paperwork, route: Route) -> tuple[tuple[str, str], ...]:
    own = _end_item(work, route)
    return tuple((each, work.called(work.rig.items[each])) for each in route.ends if each != own)


# ---------------------------------------------------------------- what the show says


def _findings(work: Paperwork, route: Route, symptom: Symptom) -> Iterator[Finding]:
    """What is judged along the way and may be the symptom, worst first."""
    points = {*route.before, *route.after, route.port.address}
    ports = {port for leg in route.legs for port in (leg.out.address, leg.into.address)} | points
    first = route.port.item.id
    families = _FAMILIES[symptom]
    found = [
        each
        for each in work.check.findings
        if each.severity is not Severity.FINE
        and each.code.partition(".")[0] in families
        and (each.where in ports or _is_of_input(each, ports, first))
    ]
    yield from sorted(found, key=lambda each: -each.severity.rank)


def _is_of_input(finding: Finding, ports: set[str], desk: str) -> bool:
    """Whether a finding touches the way before the desk, or a loudspeaker line on it."""
    return any(each in ports and not each.startswith(f"{desk}.main") for each in finding.ports)


@dataclass(frozen=True, slots=True)
class _Mended:
    """The show with a remedy done after which the channel is heard."""

    work: Paperwork
    route: Route
    do: str


def _mended(work: Paperwork, route: Route, to: str | None) -> _Mended | None:
    """The first remedy of a finding on the way with which the signal comes through."""
    trial = work.check.trial
    failing = [
        each
        for each in _findings(work, route, "silent")
        if each.severity in {Severity.FAILS, Severity.HARM}
    ]
    remedies = chain.from_iterable(remedies_for(trial, each) for each in failing[:_MOST_TRIED])
    for remedy in remedies:
        after = trial.after(remedy.edits)
        if after is not None and route.port.address in after.solution.rig.ports:
            other = _work(after)
            port = after.solution.rig.ports[route.port.address]
            if not other.is_input(port):
                continue
            again = route_of(other, port, to)
            if again.is_open:
                return _Mended(other, again, crew_words(work, remedy.do))
    return None


def _work(trial: Trial) -> Paperwork:
    judged = trial.judgement
    return Paperwork(Check(judged.verdict, judged.findings, (), trial))


# ---------------------------------------------------------------- stops


def _stops(ground: Ground, symptom: Symptom) -> Iterator[Stop]:
    for number, place in enumerate(places(ground), start=1):
        do, sees, expected = _told(ground, place, symptom)
        yield Stop(
            number=number,
            kind=place.kind,
            at=place.at,
            title=title_of(ground, place),
            do=do,
            sees=sees,
            expected=expected,
            candidates=_each_once(_candidates(ground, place, symptom)),
            caution=caution_of(ground, place),
        )


def _each_once(found: Iterator[Candidate]) -> tuple[Candidate, ...]:
    return tuple({each.what: each for each in found}.values())


def _told(ground: Ground, place: Place, symptom: Symptom) -> tuple[str, str, tuple[Expected, ...]]:
    """What to do, what is seen, and the meters."""
    if symptom == "hum":
        return (
            hum.done_at(ground, place),
            hum.seen_at(ground, place),
            hum.readings_at(ground, place),
        )
    do, sees = looking.done_at(ground, place), looking.seen_at(ground, place)
    more = ""
    if symptom == "thin" and place.kind != "phantom":
        more = thin.bass_words(ground, place)
    if symptom == "distorted" and place.kind != "phantom":
        more = distorted.headroom_words(ground, place)
    return do, f"{sees} {more}".strip(), looking.readings_at(ground, place)


def _candidates(ground: Ground, place: Place, symptom: Symptom) -> Iterator[Candidate]:
    makers = {
        "silent": silent.candidates,
        "thin": thin.candidates,
        "hum": hum.candidates,
        "distorted": distorted.candidates,
    }
    yield from makers[symptom](ground, place)
