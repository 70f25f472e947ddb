"""`python -m hoggin`."""

import sys

from hoggin.commands.main import main

sys.exit(main())
