"""A guided walk: the session as a value, its journal on disk, its screens, its report."""
