"""The flat sheet as a picture."""
