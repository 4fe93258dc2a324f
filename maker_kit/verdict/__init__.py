"""SHALL I MAKE IT? A recipe with its sliders set, judged in one workshop."""
