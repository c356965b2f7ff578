"""The page Start: three doors, the last works, the ready hulls."""
