"""Points and the gains between them: what a chain is made of, in what order signals pass.

``points``, ``order`` (and the edges that close a loop), ``layout`` (which signals come where).
"""
