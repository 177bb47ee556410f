"""What the library of migrations runs for every way from one schema to another: on the connection it is
given, within that connection's transaction."""

from loopwright.bank.migrations.migrations_bank_extra import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
