"""WHICH SUBSTANCE DOES A NAME MEAN? The one place that says so; it reads the published tables and nothing of the
rest of the formula room.

``naming`` (one key per substance, whatever the spelling) · ``near`` (a letter off) · ``cells`` (a cell that holds a
list) · ``published`` (the names of the tables)
· ``spelling`` and ``cas`` (how names and registry numbers are compared).
"""
