"""The printed sheets, one module a kind."""
