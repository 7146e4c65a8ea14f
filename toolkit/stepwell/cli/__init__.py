"""The command line: parsing arguments, calling the layers, exit codes."""
