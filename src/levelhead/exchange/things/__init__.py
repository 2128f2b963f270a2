"""All that a show file says besides the input list, as tables of texts, and what is typed there.

``texts`` (the tables) and ``edits`` (what is typed), with ``room_fields``, ``measured_fields``,
``cable_words`` and ``typed`` (places, corners, pairs).
"""
