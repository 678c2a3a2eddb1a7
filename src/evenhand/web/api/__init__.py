"""What programs may ask: the same desk functions as the pages, in JSON."""
