CODES: dict[str, str] = {k: "" for k in "E0101 E0102 E0103 E0104 E0105 E0106".split()}
