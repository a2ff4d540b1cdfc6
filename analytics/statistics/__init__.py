"""Pure functions over arrays: no store, no files, no units but those in the names."""
