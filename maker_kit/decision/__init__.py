"""SHALL I MAKE IT? What is still missing for own use, a gift and a sale; and make, buy, change or do not use."""
