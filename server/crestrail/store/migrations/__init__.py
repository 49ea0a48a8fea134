"""The upgrade ladder of the database."""
