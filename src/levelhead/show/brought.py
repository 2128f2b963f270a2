"""What is set and locked at some strips, brought to others: knobs go where their source goes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from levelhead.show.addresses import Address, strip_of
from levelhead.show.edits import Edit, Lock, Set, Unlock
from levelhead.show.model import Show

__all__ = ["settings_brought"]


def settings_brought(
    show: Show, origins: Mapping[Address, Address], goes: Callable[[Address], bool]
) -> Iterator[Edit]:
    """Edits after which strips are set and locked as those stood that they come from.

    Parameters
    ----------
    show : Show
        The show before.
    origins : mapping of str
        By each strip the one whose settings come to it; what stood there before goes back to its
        default. A strip that nothing comes to stays as it is.
    goes : callable
        Which controls are brought, by their addresses in either strip; others stay as they are.

    Examples
    --------
    >>> show = Show("Hall", settings={"desk.ch1.pan": "left", "desk.ch2.mute": "on"})
    >>> for edit in settings_brought(show, {"desk.ch2": "desk.ch1"}, lambda address: True):
    ...     print(edit)
    Set(address='desk.ch2.mute', value=None)
    Set(address='desk.ch2.pan', value='left')
    """
    known = show.settings
    now = {address for address in known if strip_of(address) in origins and goes(address)}
    came = {new: known[old] for old, new in _brought(known, origins, goes)}
    yield from (Set(address, None) for address in sorted(now - came.keys()))
    for address, value in came.items():
        if known.get(address) != value:
            yield Set(address, value)
    locks = {address for address in show.locks if strip_of(address) in origins and goes(address)}
    locked = {new for _, new in _brought(sorted(show.locks), origins, goes)}
    yield from (Unlock(address) for address in sorted(locks - locked))
    yield from (Lock(address) for address in sorted(locked - locks))


def _brought(
    addresses: Iterable[Address],
    origins: Mapping[Address, Address],
    goes: Callable[[Address], bool],
) -> Iterator[tuple[Address, Address]]:
    """Controls of the strips that others come from, each with where it comes to."""
    ways: dict[Address, list[Address]] = {}
    for new, old in origins.items():
        ways.setdefault(old, []).append(new)
    for address in addresses:
        for strip in ways.get(strip_of(address), ()):
            there = f"{strip}.{address.rpartition('.')[2]}"
            if goes(address) and goes(there):
                yield address, there
