"""A stranger writes workings and has them read: by seven methods, in many hands, right or with one slip.

Nothing here but `tally` and the tests touches the product: circuits, arithmetic, notation and the truth about
every line are the stranger's own, so that habits shared with the reader cannot hide a fault of it.
"""
