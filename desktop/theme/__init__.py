"""How the window looks: roles and scales (tokens), the look in force (look), and what is drawn by hand."""
