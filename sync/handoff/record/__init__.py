"""The open record of a visit: one module for each kind of fact, plain dicts all of them."""
