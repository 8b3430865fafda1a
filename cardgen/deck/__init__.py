"""From a specification and its figures to cards: words in an exact markup, diagrams as values, no layout."""
