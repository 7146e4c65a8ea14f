"""The unit's folder as pages on this computer: checked again at every save, and edited in the page."""
