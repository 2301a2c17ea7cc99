"""What the program itself says on a family's papers, each sentence once in each language."""
