"""A service manager's ear: a datagram socket under a path; every message goes to stdout as one line."""
import os
import socket
import sys

path = sys.argv[1]
ear = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
ear.bind(path)
print("listening", flush=True)
while True:
    # A barrier carries a descriptor that must be closed; not taking it closes it.
    data = ear.recv(4096)
    print(data.decode().replace("\n", " "), flush=True)
