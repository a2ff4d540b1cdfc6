"""The pocket page: one file for a phone that judges a reading with the baseline inside."""
