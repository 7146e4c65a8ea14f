"""Lines as units write them, with the action that each means, and how well the proposals of an import find it."""
