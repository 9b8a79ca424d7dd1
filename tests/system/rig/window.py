"""A terminal with a program in it: stdin is the keyboard, stdout the screen, stderr says `pid N` and `ended CODE`.

At the end of stdin the terminal is closed, as when somebody closes its window: the program loses it.
"""
import os
import pty
import select
import sys

pid, master = pty.fork()
if pid == 0:
    os.execvp(sys.argv[1], sys.argv[1:])
os.write(2, b"pid %d\n" % pid)
watched = [0, master]
while watched:
    ready, _, _ = select.select(watched, [], [], 0.05)
    if 0 in ready:
        typed = os.read(0, 4096)
        if typed:
            os.write(master, typed)
        else:
            os.close(master)
            watched = []
    if master in ready and watched:
        try:
            os.write(1, os.read(master, 65536))
        except OSError:
            watched = []
_, status = os.waitpid(pid, 0)
os.write(2, b"ended %d\n" % os.waitstatus_to_exitcode(status))
