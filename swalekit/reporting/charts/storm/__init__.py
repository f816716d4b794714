"""Charts of the rain and of the site's water."""
