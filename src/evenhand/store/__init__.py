"""The workbench file: the only room with SQL."""
