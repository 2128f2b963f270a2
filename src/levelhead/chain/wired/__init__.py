"""From a rig to the wiring of its chain: points and ways, before any knob is looked at.

``lanes`` (paths of items) and ``banks`` (strips of one plan), ``sources``, ``mixing``, ``digital``
and ``packets``, ``fed`` (mains, batteries); ``wiring`` is what ``build`` makes of them.
"""
