"""A guided walk as a value: what was recorded, what it means, what comes next, and its journal on disk."""
