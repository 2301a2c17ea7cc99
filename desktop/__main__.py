"""`python -m desktop`: the same as the installed command."""

from desktop.command import main

main()
