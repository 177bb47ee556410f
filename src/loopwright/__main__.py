"""`python -m loopwright`: the same as the command `loopwright`."""

from .cli.main import main

raise SystemExit(main())
