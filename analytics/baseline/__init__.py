"""The baseline: fitted in passes over the store."""
