"""From a note to statements: free text, typed or dictated, to the slots of the interface."""
