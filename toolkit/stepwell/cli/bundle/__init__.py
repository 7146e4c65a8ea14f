"""One folder that runs on a locked-down Windows PC: Python, the wheels, the tool and the demo unit."""
