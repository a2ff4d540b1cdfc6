-- Derived tables of the stage `baseline`; rebuilt, never edited.
create schema baseline
