"""All counts at once; one door: `solver.CurveSolver`."""
