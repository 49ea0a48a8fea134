"""Layer 4: Flask routes, request schemas, sign-in and the static client."""
