-- Derived tables of the stage `screening`; rebuilt, never edited.
create schema screening
