"""Many lifters in one folder: the coach's practice as plain files."""
