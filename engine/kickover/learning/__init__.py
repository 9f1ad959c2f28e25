"""Closed cases: kept, exchanged, and learned from."""
