"""Pictures that explain: what each shows, as frozen lists drawn by two painters."""
