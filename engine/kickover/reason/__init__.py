"""Reasoning: cut sets, hypotheses, belief, the next step. Pure: no input, no output, no clock."""
