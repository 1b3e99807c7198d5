"""The journal: events on disk, and the batches, stock and due things that follow from them."""
