"""Papers that leave the practice: drawn, tagged, signed, checked and filed away."""
