"""The commands of `wetslip class`, a module each; work is imported only when a command runs.

Each module has `add_parser(commands)`, which adds one or more commands with `common.add`; a new one is named
in `instructor.class_command.COMMANDS`.
"""
