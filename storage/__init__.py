"""The encrypted store: keys, the log of operations, registers, signing, drafts, and looking it all over."""
