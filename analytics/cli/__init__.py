"""The command line: one command a module, each a `command`; nobody else imports this room."""
