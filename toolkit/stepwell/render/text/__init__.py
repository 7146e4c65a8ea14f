"""The report as a terminal shows it: wrapped to the window, plain where the window is plain, never by
colour alone."""
