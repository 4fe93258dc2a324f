"""Tables in and out: CSV read, checked and written."""
