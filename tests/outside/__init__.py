"""Our numbers against what others have published, and against what coaches commonly do."""
