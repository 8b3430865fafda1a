"""Many rotors at once: look at every specification of a folder, make what is not made yet, list it all."""
