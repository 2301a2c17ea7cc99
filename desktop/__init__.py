"""The window: the only package that knows a screen exists, and the place where all parts are joined."""
