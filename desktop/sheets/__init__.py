"""The sheets: each moment of a visit composed by hand, one body region or one moment to a page."""
