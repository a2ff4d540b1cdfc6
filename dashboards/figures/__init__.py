"""Figures, one a file: each draws what it is handed and computes nothing."""
