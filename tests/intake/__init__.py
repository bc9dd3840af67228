"""Returned workbooks: what is read from them, and what is said about what is odd."""
