"""Proves a built folder: every file that a board is made from is read back and held against the others.

`built` reads the files, `lands` makes a board of what layers and drill files hold, and each other module checks one
subject: `copper`, `layers`, `legend`, `lists`, `editor`. Nothing but the files is known here, and the limits of the
board house that the manifest names. Cost: that of the layout's own checks, and of reading each file once.
"""
