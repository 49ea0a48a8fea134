"""Layer 2: the database and the photo files."""
