-- Derived tables of the stage `normalise`; rebuilt, never edited.
create schema normalise
