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
from levelhead.planning.asked.reading import TURNED
from levelhead.planning.proposal.additions import Chain, chains_for, meanings
from levelhead.planning.proposal.conditions_in_show import MetInShow, Stated
from levelhead.planning.proposal.free_inputs import occupied
from levelhead.planning.proposal.joined import join
from levelhead.planning.proposal.plugged_in import places, strip_kinds, tried
from levelhead.planning.proposal.proposals import Freed, Proposal, Proposals
from levelhead.planning.trial import Trial
from levelhead.planning.typed.conditions import read_text
from levelhead.planning.typed.own_sockets import best_ports, find_ports, unmet_words
from levelhead.planning.typed.spelling import respelt
from levelhead.planning.typed.words import tokens, words_in_turn
from levelhead.rig.model import Rig
from levelhead.show.edits import Unplug

__all__ = ["propose", "propose_in_show"]

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
    is_own = from_text.partition(".")[0] in rig.items or _names_own(rig, from_text)
    turned = _turned(trial, from_text, to_text, stated) if is_own and not ports else None
    if turned is not None:
        return turned
    if not ports:
        raise AskError(
            f"no input of the show fits '{to_text}'",
            where="ask --show",
            expected="an address such as desk.ch1.mic, or an item and its socket",
            remedy="List the sockets of a type with: levelhead gear TYPE",
        )
    if is_own:
        joined = join(trial, from_text, to_text, stated)
        if joined is not None:
            return joined
    told = propose(trial, from_text, to_text, stated=stated)
    left = (Unused(each, NOT_UNDERSTOOD) for each in unmet_words(ports[0], to_text))
    return replace(told, not_used=(*told.not_used, *left))


def _turned(trial: Trial, first: str, second: str, stated: Stated) -> Proposals | None:
    """What takes was typed before what gives: read the other way round, which is told."""
    swapped = tuple(("to" if side == "from" else "from", each) for side, each in stated)
    joined = join(trial, second, first, swapped)
    if joined is None:
        return None
    met = replace(joined.met, applied=(Applied(second, TURNED), *joined.met.applied))
    return replace(joined, met=met)


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
    wanted = None if into is None else _wanted(trial.solution.rig, into)
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


def _wanted(rig: Rig, text: str) -> set[str]:
    """Sockets that a text fits best; where none of them is free all that it may mean."""
    best = {each.address for each in best_ports(rig, text, "to")}
    return best if places(rig, best) else {each.address for each in find_ports(rig, text, "to")}


def _ranked(found: Iterable[Proposal]) -> list[Proposal]:
    """Best first. Of one chain other kinds of strip stay where the verdict is that of its best.

    Of the sockets of one kind of strip the best stays.
    """
    best: dict[str, int] = {}
    kinds: set[tuple[str, ...]] = set()
    kept = []
    for each in sorted(found, key=lambda each: each.merit):
        kind = (each.what, *strip_kinds(each.inputs))
        if each.verdict.rank <= best.setdefault(each.what, each.verdict.rank) and kind not in kinds:
            kinds.add(kind)
            kept.append(each)
    return kept


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
