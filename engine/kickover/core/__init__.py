"""Ids, problems in authored data, atomic files, near names: what every room may use."""
