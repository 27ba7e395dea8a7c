"""What is checked in the logs, subject by subject; each module has one ``check``."""
