"""Fault trees drawn with the marks of IEC 61025."""
