"""Tests of the balance. Plants are scenarios of our own, built without the language."""
