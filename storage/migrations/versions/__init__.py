"""The migrations, in order. A released one is never edited."""
