"""The stages of a build, one small module each; `STAGES` has them in reading order."""
