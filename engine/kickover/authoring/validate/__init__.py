"""Whether a library makes sense: one review a subject, each of which yields problems."""
