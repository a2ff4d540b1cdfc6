-- A mark on a reading: canonical column, code of the catalogue, and what the rule compared.
create or replace temp macro parse_mark(column_name, code, value, other) as
    struct_pack(
        column_name := column_name, code := code, value := value::varchar, other := other::varchar
    )
