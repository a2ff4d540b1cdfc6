-- What is kept for good: files, readings, findings, quarantine, marks.
create schema records
