"""One more source: what hears or joins it, into which free input, with which cable.

Every proposal is a list of edits that was applied to a copy of the show, solved and judged with the
gain at its place; what it makes worse elsewhere counts against it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from levelhead.errors import AskError
from levelhead.planning.asked.conditions_met import NOT_UNDERSTOOD, Applied, Unused
from levelhead.planning.proposal.additions import Chain, Output, chains_for, meanings
from levelhead.planning.proposal.attempt import attempted
from levelhead.planning.proposal.conditions_in_show import MetInShow, Stated, met_in_show
from levelhead.planning.proposal.free_inputs import occupied
from levelhead.planning.proposal.plugged_in import places, plug_for, tried
from levelhead.planning.proposal.proposals import Freed, Proposal, Proposals
from levelhead.planning.trial import Trial
from levelhead.planning.typed.conditions import read_text
from levelhead.planning.typed.own_sockets import find_ports, unmet_words
from levelhead.planning.typed.spelling import respelt
from levelhead.planning.typed.words import tokens, words_in_turn
from levelhead.rig.model import Rig
from levelhead.show.edits import Edit, Unplug

__all__ = ["join", "propose", "propose_in_show"]

_MOST: Final = 6  # proposals
_NOWHERE: Final = "nothing was found that it could be said of"
_MOST_FREED: Final = 3
_CHAINS_FREED_FOR: Final = 2  # the likeliest ways to bring it


def propose_in_show(trial: Trial, from_text: str, to_text: str | None) -> Proposals:
    """What ``levelhead ask FROM [TO] --show SHOW`` answers.

    With ``to_text``, a socket of the show's own is joined, if ``from_text`` names one by its
    address or its item; anything else is one more source.

    Raises
    ------
    AskError
        The first text means nothing that makes a sound, or the second no input of the show.
    """
    own = [text for each in trial.show.items.values() for text in (each.id, each.label)]
    from_text, slips = respelt(trial.book, from_text, own)
    if to_text is not None:
        to_text, more = respelt(trial.book, to_text, own)
        slips = (*slips, *more)
    first, second = read_text(from_text), None if to_text is None else read_text(to_text)
    stated = (
        *(("from", each) for each in first.conditions),
        *(("to", each) for each in (() if second is None else second.conditions)),
    )
    told = _proposed(trial, first.rest, None if second is None else second.rest, stated)
    asked = from_text if told.asked == first.rest else told.asked
    read_as = tuple(Applied(each.typed, f"read as {each.read}") for each in slips)
    met = replace(told.met, applied=(*read_as, *told.met.applied))
    said = {each.words for each in met.applied} | {each.words for each in met.unused}
    nowhere = (Unused(each.words, _NOWHERE) for _, each in stated if each.words not in said)
    return replace(told, asked=asked, met=met, not_used=(*told.not_used, *met.unused, *nowhere))


def _proposed(trial: Trial, from_text: str, to_text: str | None, stated: Stated) -> Proposals:
    """The same of texts whose conditions were taken out."""
    rig = trial.solution.rig
    if to_text is None:
        return propose(trial, from_text, stated=stated)
    ports = find_ports(rig, to_text, "to")
    if not ports:
        raise AskError(
            f"no input of the show fits '{to_text}'",
            where="ask --show",
            expected="an address such as desk.ch1.mic, or an item and its socket",
            remedy="List the sockets of a type with: levelhead gear TYPE",
        )
    if from_text.partition(".")[0] in rig.items or _names_own(rig, from_text):
        joined = join(trial, from_text, to_text, stated)
        if joined is not None:
            return joined
    told = propose(trial, from_text, to_text, stated=stated)
    left = (Unused(each, NOT_UNDERSTOOD) for each in unmet_words(ports[0], to_text))
    return replace(told, not_used=(*told.not_used, *left))


def _names_own(rig: Rig, text: str) -> bool:
    """Whether the words hold the whole label or id of an item."""
    asked = tokens(text)
    named = [tokens(each.label) for each in rig.items.values() if each.label]
    named += [tokens(each.replace("-", " ")) for each in rig.items]
    return any(words and words <= asked for words in named)


def propose(
    trial: Trial,
    text: str,
    into: str | None = None,
    go_on: Callable[[], None] = lambda: None,
    stated: Stated = (),
) -> Proposals:
    """How one more source joins a show.

    Parameters
    ----------
    trial : Trial
        The show, solved.
    text : str
        A type of the gear book, or words: ``singer``, ``keyboard``.
    into : str or None
        Only these sockets of the show: an address, an item, or words for them.
    go_on : callable
        Called before each socket is tried; raises where nobody waits for the answer any more.
    stated : tuple of a side and a Condition
        What was said of switches, knobs and leads.

    Raises
    ------
    AskError
        The text means nothing that makes a sound.
    """
    meant = meanings(trial.book, text)
    chains = [each for one in meant for each in chains_for(trial.show, trial.book, one)]
    wanted = (
        None
        if into is None
        else {each.address for each in find_ports(trial.solution.rig, into, "to")}
    )
    found = _ranked(tried(trial, chains, places(trial.solution.rig, wanted), go_on, stated))
    found = [each for each in found if each.met.has_boxes] or found
    labels = tuple(trial.book.entry(each.type_id).label for each in meant)
    usable = tuple(each for each in found if each.is_usable)
    usable = tuple(each for each in usable if not each.attempt.elsewhere) or usable
    left = frozenset.intersection(*(each.unmet for each in meant))
    unused = tuple(
        Unused(typed, NOT_UNDERSTOOD) for word, typed in words_in_turn(text) if word in left
    )
    if usable:
        return Proposals(text, labels, usable[:_MOST], not_used=unused, met=usable[0].met)
    return Proposals(
        text,
        labels,
        (),
        _why_not(trial.solution.rig, found, wanted),
        tuple(_freed(trial, chains)) if wanted is None else (),
        unused,
        found[0].met if found else MetInShow(),
    )


def join(trial: Trial, from_text: str, to_text: str, stated: Stated = ()) -> Proposals | None:
    """One socket of a show into another: judged on a copy, with what sat there unplugged.

    ``None`` when a text names no socket of the show.
    """
    rig = trial.solution.rig
    starts, ends = find_ports(rig, from_text, "from"), find_ports(rig, to_text, "to")
    if not starts or not ends:
        return None
    start = starts[0]
    there = trial.show.link_at(start.address)
    asked = f"{from_text} into {to_text}"
    types = [each.item.plan.type_id for each in (start, ends[0])]
    met = met_in_show(trial.book, stated, (start.address, types[0]), (ends[0].address, types[1]))
    is_plugged = there is not None and {start.address, ends[0].address} <= set(there.ends.values())
    if is_plugged and not met.has_lead:
        edits: tuple[Edit, ...] = met.edits
    else:
        output = Output(start.address, start.plan)
        plug = plug_for(trial, output, ends[0], start.item.plan.kind, met)
        if plug is None:
            why = f"no cable of the gear book fits {start.label} and {ends[0].label}"
            return Proposals(asked, (start.label, ends[0].label), (), why)
        links = (trial.show.link_at(each) for each in (start.address, ends[0].address))
        pulled = (Unplug(link) for link in dict.fromkeys(links) if link is not None)
        edits = (*pulled, plug, *met.edits)
    sockets = (start.address, ends[0].address)
    attempt = attempted(trial, edits, sockets, is_new=False, held=met.held)
    if attempt is None:
        return Proposals(asked, (start.label, ends[0].label), (), "the plugs do not go together")
    one = Proposal.told(trial.show, f"{start.label} into {ends[0].label}", (ends[0],), attempt)
    return Proposals(asked, (start.label, ends[0].label), (replace(one, met=met),), met=met)


def _ranked(found: Iterable[Proposal]) -> list[Proposal]:
    """Usable first, then what takes what was said, leaves the rest alone, is there, the verdict.

    Of equals an input with a gain goes before one where nothing can be turned. Of one chain other
    inputs stay only where they are as good as its best.
    """

    def key(each: Proposal) -> tuple[bool, int, bool, int, int, bool, int]:
        attempt = each.attempt
        rank = each.verdict.rank
        return (
            not each.is_usable,
            len(each.met.unused),
            bool(attempt.elsewhere),
            len(each.lacks),
            rank,
            attempt.gain is None,
            len(attempt.needs),
        )

    best: dict[str, tuple[int, bool]] = {}
    return [
        each
        for each in sorted(found, key=key)
        if _as_good(each) <= best.setdefault(each.what, _as_good(each))
    ]


def _as_good(each: Proposal) -> tuple[int, bool]:
    """Its verdict, and whether nothing can be turned there: less is better."""
    return each.verdict.rank, each.attempt.gain is None


def _why_not(rig: Rig, found: Sequence[Proposal], wanted: set[str] | None) -> str:
    free_places = places(rig, wanted)
    if not free_places:
        where = "" if wanted is None else " of those asked for"
        return f"Does not fit, because no input{where} is free."
    if not found:
        free = ", ".join(dict.fromkeys(port.address for each in free_places for port in each))
        return f"Does not fit, because nothing goes from it into what is free ({free})."
    best = found[0]
    return (
        f"Does not fit, because {best.what} into {best.inputs[0].address}, the best that is free, "
        f"{best.verdict.value}: {best.attempt.why}"
    )


def _freed(trial: Trial, chains: Sequence[Chain]) -> Iterator[Freed]:
    """What could be left out for it, the least needed first; each was tried."""
    found = 0
    for taken_ in occupied(trial.solution.rig):
        edits = tuple(Unplug(link) for link in taken_.links)
        base = trial.after(edits)
        if base is None or found == _MOST_FREED:
            continue
        freed = {port.address for port in taken_.ports}
        room = places(base.solution.rig, freed)
        best = _ranked(tried(base, chains[:_CHAINS_FREED_FOR], room))[:1]
        if best and best[0].is_usable:
            found += 1
            nice = ", which is only nice to have" if taken_.is_nice else ""
            yield Freed(f"Leave out {taken_.called}{nice}", edits, best[0])
