"""The program: state, page, command line, server; no physics, no drawing."""
