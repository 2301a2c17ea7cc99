"""Pure computation on answers: ages, weights, transfer, and the prompts that ask for action."""
