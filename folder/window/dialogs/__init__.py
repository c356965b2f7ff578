"""What lies over or before the pages: files, keys, the start."""
