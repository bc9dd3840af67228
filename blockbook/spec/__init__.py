"""What the coach writes: the block specification, the exercise catalogue, the policy.

`models` holds the specification, `values` its small parts, `policy` every number of the load
decision, `catalogue` the exercises, `documents` YAML text, `loading` specification files with
line numbers in errors, `templates` the templates that ship.
"""
