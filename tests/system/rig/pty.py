"""One end of a serial cable: a pseudo-terminal under a stable path, its other end on stdin and stdout.

Like a board on USB it does not mind whether anybody has the port open: bytes sent meanwhile are lost. When this
process ends, whoever has the port open sees it vanish, as when a plug is pulled.
"""
import errno
import os
import select
import sys
import tty

link = sys.argv[1]
master, slave = os.openpty()
tty.setraw(slave)
fresh = link + ".new"
os.symlink(os.ttyname(slave), fresh)
os.replace(fresh, link)
os.close(slave)
os.write(2, b"plugged\n")

opened = False
while True:
    ready, _, _ = select.select([0] if not opened else [0, master], [], [], None if opened else 0.002)
    if not opened:
        poll = select.poll()
        poll.register(master, select.POLLIN)
        opened = not any(event & select.POLLHUP for _, event in poll.poll(0))
    if 0 in ready:
        data = os.read(0, 4096)
        if not data:
            break
        if opened:
            os.write(master, data)
    if master in ready:
        try:
            os.write(1, os.read(master, 4096))
        except OSError as error:
            if error.errno != errno.EIO:
                raise
            opened = False
os.unlink(link)
