"""Which deck is current: an SQLite register, and beside it the kept bytes of every issued file."""
