"""Pictures painted on a surface."""
