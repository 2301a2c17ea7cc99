"""What each paper says: outlines made from a chart, with nothing of pages or files in them."""
