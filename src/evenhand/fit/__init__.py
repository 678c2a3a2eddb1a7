"""Do parts go together: rules as data over what is known of each part, and what to look up where it is not."""
