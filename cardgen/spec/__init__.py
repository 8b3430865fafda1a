"""From the text of a specification to a complete, typed rotor, or every problem at once."""
