"""The walk as a person meets it: screens as values, typed lines, a terminal, plain lines."""
