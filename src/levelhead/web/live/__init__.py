"""An open show in the browser: one room with its pages, what they do, and what they are shown.

Reading order: ``start``, ``rooms`` and ``room`` (a show with its pages), ``routes`` (page and
socket), ``people`` and ``past`` (who is here, what was told); ``hand`` with ``messages`` and
``refused`` (what changes the show), ``view`` (what a page sees of it), ``day`` and ``readings``
(show day). ``questions`` and ``shown`` change nothing; ``looks`` come at once: ``drawing``,
``levels``, ``part``, ``plan``. ``pool`` is the process that solves, ``tasks`` and ``worker`` what
it does: ``results``, ``gains``, ``paper``, ``day_cards``. ``ready`` loads what first edits need.
"""
