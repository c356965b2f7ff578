"""Poses at rest: of one hull, of many, and what they mean."""
