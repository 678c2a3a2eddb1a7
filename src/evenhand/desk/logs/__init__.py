"""Logs and folders on their way in and out: imports, exports, layouts, readings."""
