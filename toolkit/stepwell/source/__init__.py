"""From files to the model, with every problem at its line: the only layer that reads a workspace."""
