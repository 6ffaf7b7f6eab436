"""The program: state, page, command line, server; no physics, no drawing."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy: its threads cost small matrices
