"""Whether what holds water is kept from spoiling."""
