"""Merging what several devices wrote: pure, and the same whatever arrives first."""
