"""The SQL of Loadrise, one select a file."""
