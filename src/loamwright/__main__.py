"""`python -m loamwright`: the same as the command `loamwright`."""

from loamwright.cli.main import main

main()
