"""A round with a target: what is read, what is written, and what is told of it."""
