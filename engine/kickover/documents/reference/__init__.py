"""What a library knows of one thing, and the things that words are about."""
