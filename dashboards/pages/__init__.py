"""Pages, one a file: each puts records into words, tables and figures."""
