"""The workbench file: the only room with SQL. Records go in and come out as they are."""
