"""Published formulas and tables, one file a subject, each with its source; plain numbers in SI units.

Every source ends with how it was learnt: "read" (the page or sheet itself), "read at second hand" (somebody who
quotes it) or "recalled" (from memory, textbook knowledge included).
"""
