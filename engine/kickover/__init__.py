"""Kickover finds out why a small engine will not start, one question at a time, and gets it running."""
