"""The ground network: 0 V of every item, screens, earths, and what drives them.

``mains`` and ``earths`` (figures, conductors), ``sources`` (what drives it); ``sketch``,
``islands``, ``drawing`` and ``pieces`` (the copper as it sees it), ``network`` (solved), ``touch``
(what a person takes).
"""
