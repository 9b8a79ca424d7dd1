"""Modbus RTU slaves that are not ours, served by pymodbus (Debian's 3.0) on a serial port.

Arguments: port, then slave addresses. Each line on stdin sets registers:
{"slave": 1, "table": "input", "address": 0, "words": [1, 2]}
"""
import asyncio
import json
import logging
import sys

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server import StartAsyncSerialServer
from pymodbus.transaction import ModbusRtuFramer

logging.disable()  # a refused register is part of the tests

REGISTERS = 100
FUNCTION = {"holding": 3, "input": 4}


def fresh():
    return ModbusSlaveContext(
        ir=ModbusSequentialDataBlock(0, [0] * REGISTERS),
        hr=ModbusSequentialDataBlock(0, [0] * REGISTERS),
        zero_mode=True,
    )


async def main():
    port, *addresses = sys.argv[1:]
    slaves = {int(address): fresh() for address in addresses}
    server = await StartAsyncSerialServer(
        context=ModbusServerContext(slaves=slaves, single=False),
        framer=ModbusRtuFramer,
        port=port,
        baudrate=9600,
        ignore_missing_slaves=True,
        defer_start=True,
    )
    await server.start()
    print("serving", flush=True)
    loop = asyncio.get_running_loop()
    while line := await loop.run_in_executor(None, sys.stdin.readline):
        order = json.loads(line)
        slaves[order["slave"]].setValues(FUNCTION[order["table"]], order["address"], order["words"])
        print("set", flush=True)


asyncio.run(main())
