"""Remedies: moves that were tried on a copy and held.

Reading order: ``proposed`` (what might help), ``remedies`` (which of it is offered), ``tried`` (a
move on a copy, with the step that belongs to it), ``outcome`` (what a move did),
``screening`` (what needs no trial of the whole show), ``offers`` and ``alike`` (what is tried once
for many findings), ``hands``, ``silence`` and ``ends`` (what a remedy must not do elsewhere),
``earths`` (what it must not do at all), ``words`` (how it is told).
"""
