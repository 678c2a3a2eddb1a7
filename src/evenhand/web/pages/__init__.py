"""One module a page: its route parses, calls the desk, and shows a template."""
