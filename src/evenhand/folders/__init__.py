"""A study as a folder: TOML text to and from records. Pure; the desk does the reading."""
