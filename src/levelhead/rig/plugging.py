"""Links of a show: which sockets they join, by which cables, and what does not fit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from string import digits
from typing import Final

from levelhead.errors import ShowError
from levelhead.gear.names import address_meant, did_you_mean
from levelhead.rig.before import Before
from levelhead.rig.cabling import join_link
from levelhead.rig.contacts import end_half_in
from levelhead.rig.locating import Resolving
from levelhead.rig.model import Misfit, RigLink, RigPort, Segment
from levelhead.rig.pins import pin_changes
from levelhead.rig.usual import usual_cable
from levelhead.show.model import Cable, Link

__all__ = ["Plugged", "plug_links"]

_PLAIN_ENDS: Final = 2


@dataclass(frozen=True, slots=True)
class Plugged:
    """Links that go together, links that do not, and the link in each port."""

    links: list[RigLink] = field(default_factory=list)
    misfits: list[Misfit] = field(default_factory=list)
    at: dict[str, int] = field(default_factory=dict)

    def plug(self, link: RigLink) -> None:
        """Put the plugs of a link that goes together into their sockets."""
        self.links.append(link)
        self.at.update(dict.fromkeys(link.ports, link.number))


def plug_links(resolving: Resolving, ports: Mapping[str, RigPort], before: Before) -> Plugged:
    """Plug every link of a show."""
    plugged = Plugged()
    holes: dict[str, str] = {}
    for number, link in enumerate(resolving.show.links):
        where = resolving.locate.where_link(link)
        if _check_ports(link, ports, resolving, where):
            _fill_holes(link, ports, holes, resolving, where)
            known = before.link(number, link, ports)
            if known is not None:
                plugged.plug(known)
                continue
            with resolving.collecting(where):
                _plug(number, link, ports, plugged, resolving, where)
        else:
            _check_cables(link, resolving, where)
    return plugged


def _check_cables(link: Link, resolving: Resolving, where: str) -> None:
    """Cables of a link that cannot be plugged: unknown ones are told along with why."""
    for cable in link.via:
        with resolving.collecting(where):
            resolving.book.cable(cable.type)


def _check_ports(
    link: Link, ports: Mapping[str, RigPort], resolving: Resolving, where: str
) -> bool:
    """Whether all ends of a link are ports of the show; errors are noted."""
    unknown = [address for address in link.ends.values() if address not in ports]
    for address in unknown:
        if resolving.is_lost(address):
            continue
        item_id = address.partition(".")[0]
        error = ShowError(
            f"no port '{address}'",
            where=where,
            expected="a port of an item of this show",
            remedy=_switched_away(resolving, address)
            or f"{address_meant(address, ports)} {resolving.how_to_list(item_id)}".strip(),
        )
        resolving.errors.append(error)
    return not unknown


def _switched_away(resolving: Resolving, address: str) -> str:
    """How a port comes back that is only there while switches stand so; empty for any other."""
    item_id, _, local = address.partition(".")
    item = resolving.show.items.get(item_id)
    if item is None:
        return ""
    entry = resolving.book.entry(item.type)
    strip, _, name = local.rpartition(".")
    block = entry.blocks.get(strip.rstrip(digits)) if strip else entry
    port = None if block is None else block.ports.get(name)
    if port is None or not port.when:
        return ""
    where = f"{item_id}.{strip}" if strip and block is not None else item_id
    owners = {each: where if each in (block or entry).controls else item_id for each in port.when}
    stands = " and ".join(f"{owners[each]}.{each} at {at}" for each, at in port.when.items())
    return f"It is there with {stands}: set that under 'settings'."


def _fill_holes(
    link: Link,
    ports: Mapping[str, RigPort],
    holes: dict[str, str],
    resolving: Resolving,
    where: str,
) -> None:
    """One plug in a hole; ports that share a hole are filled together."""
    for address in link.ends.values():
        hole = ports[address].sibling(ports[address].plan.hole)
        if hole in holes:
            error = ShowError(
                f"'{address}' already has a plug in it (at '{holes[hole]}')",
                where=where,
                expected="one plug in a socket",
                remedy="Use another socket, or a splitter.",
            )
            resolving.errors.append(error)
        holes[hole] = address


def _plug(
    number: int,
    link: Link,
    ports: Mapping[str, RigPort],
    plugged: Plugged,
    resolving: Resolving,
    where: str,
) -> None:
    """Put the plugs of one link into their sockets."""
    segments = _segments(link, resolving, ports, where)
    sockets = {end: ports[address].plan.socket for end, address in link.ends.items()}
    if segments is None:
        first, second = list(sockets.values())[:_PLAIN_ENDS]
        plugged.misfits.append(Misfit(number, link, first, second, list(link.ends.values())[1]))
        return
    half = end_half_in(link, ports, where=where)
    own = {end for end, address in link.ends.items() if ports[address].plan.own_lead}
    joined = join_link(number, link, segments, sockets, half, own)
    if joined.misfit is not None:
        plugged.misfits.append(joined.misfit)
        return
    changes = pin_changes(link, segments, joined.contacts, where=where)
    plugged.plug(RigLink(number, link, segments, joined.contacts, changes, half))


def _segments(
    link: Link, resolving: Resolving, ports: Mapping[str, RigPort], where: str
) -> tuple[Segment, ...] | None:
    """Cables of a link; where none is named, the usual one between its sockets."""
    cables = link.via or _usual(link, resolving, ports)
    if set(link.ends) != {"a", "b"} and len(cables) > 1:
        raise ShowError(
            f"{len(cables)} cables in a row, where a lead has ends of its own",
            where=where,
            expected="the one lead whose ends the link names",
            remedy="Join further cables with links of their own, through an adaptor or a box.",
        )
    segments = tuple(_segment(number, cable, resolving) for number, cable in enumerate(cables))
    if set(link.ends) != {"a", "b"} and segments:
        _check_ends(link, segments[0], where)
    return segments or None


def _check_ends(link: Link, segment: Segment, where: str) -> None:
    """A lead with ends of its own has those that its link names."""
    own = tuple(segment.cable.ends)
    for end in link.ends:
        if end not in own:
            raise ShowError(
                f"no end '{end}' on {segment.cable.label}",
                where=where,
                expected=f"ends of that lead: {', '.join(own)}",
                remedy=did_you_mean(end, own) or "Call each end as the gear book calls it.",
            )


def _usual(link: Link, resolving: Resolving, ports: Mapping[str, RigPort]) -> tuple[Cable, ...]:
    plans = [ports[address].plan for address in link.ends.values()]
    if len(plans) != _PLAIN_ENDS:
        return ()
    usual = usual_cable(resolving.book, *plans)
    return () if usual is None else (Cable(usual.type_id, None),)


def _segment(number: int, cable: Cable, resolving: Resolving) -> Segment:
    """A length of cable: as said, else its usual one; an adaptor has none."""
    plan = resolving.book.cable(cable.type)
    length_m = plan.usual_length_m if cable.length_m is None else cable.length_m
    return Segment(plan, number, length_m if plan.core_ohm_per_m else 0.0)
