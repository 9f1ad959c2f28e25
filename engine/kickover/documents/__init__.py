"""Pictures, pages, sheets and reports; nothing here decides what is true or what to do next."""
