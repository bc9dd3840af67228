"""A returned file -> the log and what is odd about it.

`opening` is the one door for files from outside, `cells` understands single cells, `rows`
finds them, `log` is the result, `findings` what can be said about it, `checks` says it.
"""
