"""Who belongs to a practice: signed acts, what they come to, and the keys they hand on."""
