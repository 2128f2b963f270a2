"""Words as people type them, and what they mean in the gear book: no show, no circuit.

Reading order: ``words`` (one spelling each), ``phrases`` (held against those of the book),
``names`` (gear and its sockets, best first) with ``sockets`` (those of one type), ``bare_sockets``
(of a desk that goes unnamed) and ``outright`` (named as the book has them), ``candidates`` and
``wanted`` (the values); ``pairing`` (of sockets that fit alike, the two that go together),
``own_sockets`` (those of a show's own items). ``conditions`` takes out what is said
besides (``48 V on``, ``4 ohm``), ``fitting`` and ``leads`` hold it against a type or a lead.
``half_typed`` is for words that are not finished yet.
"""
