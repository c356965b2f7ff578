"""The object in use, one for all pages: found, chosen, weighed, and one's own."""
