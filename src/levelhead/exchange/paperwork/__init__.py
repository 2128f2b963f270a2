"""A checked show as lists and sheets read it: leads by number, rows of inputs, names for places.

``work`` is the way in; ``input_rows`` (each strip, full or free), ``flow`` (what leaves by which
socket), ``turns`` (the order of switching), ``phantom`` (who has to feed it), ``knobs``; words:
``socket_names``, ``named``, ``crew_words``, ``figure_texts``.
"""
