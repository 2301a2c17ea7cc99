"""Changes of the database's shape, one module each, and the code that runs them."""
