"""Every command of the program, declared once (`declared`), its keys, and where it listens.

Keys are letters, because function keys and most control keys are eaten by one terminal, browser or multiplexer or another.
Digits are left to the table cells, where typing a number begins an edit. While a cell is being edited no command listens.
"""

from tui.commands.command import PLACE_TITLES, PLACES, Command
from tui.commands.declared import EVERY_COMMAND
from tui.commands.listening import active, footer, key_text
from tui.commands.own_keys import take_keys

__all__ = ["EVERY_COMMAND", "PLACES", "PLACE_TITLES", "Command", "active", "footer", "key_text", "take_keys"]
