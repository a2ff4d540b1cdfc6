"""What the reader sees: figures, pages, one theme."""
