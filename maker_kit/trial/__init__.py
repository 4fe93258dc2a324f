"""Is it as good? A fair trial: what is wanted, how it is tried blind, and what the answers show."""
