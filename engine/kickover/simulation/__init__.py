"""Engines and riders that do not exist: trials of one way of choosing steps against another."""
