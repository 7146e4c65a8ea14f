"""The sheets beside the cards: kit list, trainer's sheet, inspection sheet of a set, index of emergencies, labels."""
