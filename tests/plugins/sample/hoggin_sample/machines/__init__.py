"""The package's machine classes, in `.hog` files."""
