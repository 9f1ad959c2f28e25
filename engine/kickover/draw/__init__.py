"""Pictures, pages and sheets made from a library; nothing here decides what is true or what to do next."""
