"""What the consultant knows: the questions, the clinical figures, the prompts and what each paper says.

Pure Python: no window, no database, no files, no network. Every other package may import this one.
"""
