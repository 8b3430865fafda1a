"""What was measured: entries from the log-entry form, checked, kept, shown and learned from."""
