"""The record of a build: model, file, store, comparison, words."""
