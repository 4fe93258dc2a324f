"""How do I make it? The bench: what came, the day itself, and the record that lets anyone follow it afterwards."""
