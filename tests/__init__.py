"""Tests of the kit; a package so that helpers are imported as `tests.…` whatever else is installed."""
