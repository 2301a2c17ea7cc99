"""Reading what another practice hands over: bounded first, checked next, then offered fact by fact, never written."""
