"""The Python API. The plants are examples/gravel.hog and small texts: invented."""
