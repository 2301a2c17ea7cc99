"""Files that travel between devices: their bytes, sealed and signed. Nothing here knows where they lie."""
