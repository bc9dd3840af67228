"""Benchmarks: figures and, against a peer in the same run, ratios; never asserted."""
