-- Bin of a positive number on a quarter-octave scale from 2^-6 to 2^8, ends open.
create or replace temp macro notice_bin(value) as
    least(greatest(floor(4e0 * log2(greatest(value, 1e-6))), -24), 32)::integer
