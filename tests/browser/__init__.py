"""Tests in a real browser: JupyterLab in a headless Chromium."""
