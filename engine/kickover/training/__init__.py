"""Practice: an engine with a hidden fault, a bench to work at, and a review of every choice."""
