"""Printed things: pages from pictures, as SVG and PDF."""
