"""Benchmarks: ratios against a peer in the same run; never asserted."""
