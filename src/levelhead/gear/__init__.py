"""The gear book: types of gear as data, checked, and planned as their switches stand.

``book`` is the way in. ``store`` reads the YAML files in ``entries/``, ``inherit`` fills in what a
type is ``like``, ``model`` says what an entry may hold, ``references`` that its names lead
somewhere, ``compile`` turns it into a ``plan`` in SI. ``circuits``, ``connectors`` and ``scales``
are the tables that entries choose from.
"""
