"""The next step, whole policies, and what they take. Pure: no input, no output, no clock."""
