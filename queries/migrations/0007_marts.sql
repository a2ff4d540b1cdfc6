-- Derived tables of the stage `marts`; rebuilt, never edited.
create schema marts
