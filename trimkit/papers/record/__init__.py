"""The record of a build: its model, file, folder, comparison and words."""
