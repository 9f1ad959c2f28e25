"""Flowcharts compiled from the reasoning: sheet, card, page and picture."""
