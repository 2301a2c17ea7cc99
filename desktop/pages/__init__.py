"""The pages of the window, one at a time in it, from the greeting of a first launch to the visit."""
