"""The local page: the job sheet with its numbers editable in place, served to this machine."""
