"""Issue, reprint and withdraw: the one place that owns the order build, keep, register, place."""
