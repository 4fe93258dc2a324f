"""What is allowed where: limits, how they are counted, and how a recipe stands to them."""
