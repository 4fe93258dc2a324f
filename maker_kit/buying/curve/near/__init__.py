"""The lists near a known one: whether another costs as much, and what is cheapest once a price has moved."""
