"""An abstract world of true and false facts, in which the search is compared with readings that share no code with it."""
