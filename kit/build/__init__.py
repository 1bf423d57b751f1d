"""The record of a build, the graph of its results, what changed, and doubt."""
