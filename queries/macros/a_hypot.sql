-- Square root of the sum of two squares.
create or replace temp macro hypot(a, b) as sqrt(a * a + b * b)
