"""The programme that is solved: settings, and levels as sums of monomials. It knows no rig.

``log_sums`` (levels and their tangents), ``programme`` (variables, rows, the least cost), ``quiet``
(of what the solver prints).
"""
