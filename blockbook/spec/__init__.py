"""What the coach writes: the block specification, the exercise catalogue, the policy.

`models` holds the specification, `policy` every number of the load decision, `catalogue`
the exercises, `loading` YAML files with line numbers in errors, `plan` the specification
laid out week by week.
"""
