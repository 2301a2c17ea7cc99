"""Independent readers of the open record, each run in an environment of its own (`.ci/setup.py --tests`)."""
