"""Opens what was printed and compares it with what was meant; computes what matters a second time."""
