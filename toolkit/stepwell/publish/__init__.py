"""One model of what is printed and shown, shared by cards and site."""
