"""Forms, drawings and paper for notebooks; only here are ipywidgets and matplotlib imported."""
