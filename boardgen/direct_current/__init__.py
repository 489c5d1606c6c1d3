"""Direct-current networks: resistors, sources and diodes between named points, solved by nodes.

It knows nothing of boards: plain values in, plain values out. numpy is loaded only when something is solved.
"""
