"""Addresses of the app besides those of a live show, a module for each part of it."""
