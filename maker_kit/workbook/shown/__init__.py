"""Tables, money and words; what the notebooks call."""
