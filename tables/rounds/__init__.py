"""One small language for rounds: written in patterns, read by the audit, used for bands.

``steps`` is the language as plain frozen data, ``counter`` works a round of it stitch by stitch
on the round below. Neither knows the solver.
"""
