"""The pages in the browser and the interface for programs: parse, call the desk, show."""
