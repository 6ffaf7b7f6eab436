"""`python -m apps` is the command line."""

import sys

from apps.command_line import main

sys.exit(main())
