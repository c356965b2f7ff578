"""The sheet on the table: creases, faces, files, families."""
