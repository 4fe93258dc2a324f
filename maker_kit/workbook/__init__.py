"""HOW IS IT SHOWN? Charts, panels, report."""
