"""Ingest: from spreadsheets as people keep them to rows of the store, with nothing lost."""
