"""Stands before a grammar of addresses that jsonschema would build in a second, for a check that nothing here asks.

It does without where there is none, in the processes of the tests as in those that the workbook starts.
"""

raise ImportError
