"""Pages for printing: a page as plain blocks, written out as text or as HTML. Decides nothing."""
