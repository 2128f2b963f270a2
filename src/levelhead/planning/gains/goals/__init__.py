"""The goals, each solved as rows for those behind it.

``in_order`` (all of them), ``search`` (where it stands); ``levels``, ``settings`` and ``changes``
(the goals themselves), ``switch_costs`` (what a switch has to be worth), ``worth`` (whether other
settings serve them as well).
"""
