"""The commands: one small file each, which parse, call the core, and print. No logic lives here."""
