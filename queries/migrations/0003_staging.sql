-- Derived tables of the stage `staging`; rebuilt, never edited.
create schema staging
