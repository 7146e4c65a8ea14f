"""One module per fact: what rules and expectations may ask of a state."""
