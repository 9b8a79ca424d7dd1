"""Runs a command at a terminal of its own; what comes on stdin is typed there, what it shows goes to stdout."""
import errno
import fcntl
import os
import pty
import select
import struct
import sys
import termios

COLUMNS, ROWS = 100, 50

child, master = pty.fork()
if child == 0:
    os.execvp(sys.argv[1], sys.argv[1:])
fcntl.ioctl(master, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
watched = [0, master]
while True:
    ready, _, _ = select.select(watched, [], [])
    if 0 in ready:
        typed = os.read(0, 4096)
        if typed:
            os.write(master, typed)
        else:
            watched.remove(0)
    if master in ready:
        try:
            shown = os.read(master, 4096)
        except OSError as error:
            if error.errno != errno.EIO:
                raise
            break
        if not shown:
            break
        os.write(1, shown)
_, status = os.waitpid(child, 0)
sys.exit(os.waitstatus_to_exitcode(status) & 0xFF)
