"""Measurements of the program, as ratios in one table: `python -m tests.bench`."""
