"""Do parts go together: rules as data over what is known of each part, and what is to be looked up."""
