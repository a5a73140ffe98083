"""Customers, their sites and contacts."""
