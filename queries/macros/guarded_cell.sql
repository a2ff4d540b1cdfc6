-- Text for a CSV cell that no spreadsheet takes for a formula: a first = + - @, also of full width, a
-- tab, carriage return or line feed gets a quote mark before it (OWASP, CSV Injection). Numbers are
-- not passed through here.
create or replace temp macro guarded_cell(cell) as
    case when regexp_matches(cell, '^[=+\-@\t\r\n＝＋－＠]') then '''' || cell else cell end
