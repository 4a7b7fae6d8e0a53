"""The draft: the file, the edits laid over it, the machine solved with them, and what it all moves."""
