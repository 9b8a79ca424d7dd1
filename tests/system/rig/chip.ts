import {
  AVRIOPort,
  AVRTimer,
  AVRUSART,
  avrInstruction,
  CPU,
  PinState,
  portBConfig,
  portCConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  usart0Config,
} from "avr8js";

/** What is on a pin of the board: an output's level, or what an input would need to be told from outside. */
export type PinLevel = "low" | "high" | "input" | "pull-up";

export interface Chip {
  /** Runs the clock on by so many cycles of 1/16 µs. */
  run(cycles: number): void;
  /** Bytes from the host, fed at the pace of the line. */
  receive(bytes: Uint8Array): void;
  /** A contact from the pin to ground. An open one reads high only where the firmware has switched the pull-up on. */
  contact(pin: number, closed: boolean): void;
  level(pin: number): PinLevel;
}

export const CLOCK_HZ = 16_000_000;
export const PINS = 20;

/** An ATmega328P as it stands on an Uno, with the program `words` in its flash, just out of reset. */
export function bootChip(
  words: Uint16Array,
  closed: ReadonlySet<number>,
  onByte: (byte: number) => void,
  onPin: (pin: number, level: PinLevel) => void,
): Chip {
  const cpu = new CPU(words, 2048);
  for (const config of [timer0Config, timer1Config, timer2Config]) new AVRTimer(cpu, config);
  const usart = openUsart(cpu);
  usart.onByteTransmit = onByte;
  const pins = wirePins(cpu, closed, onPin);
  const waiting: number[] = [];
  return {
    ...pins,
    receive: (bytes) => void waiting.push(...bytes),
    run(cycles) {
      const until = cpu.cycles + cycles;
      while (cpu.cycles < until) {
        // One byte at a time: this receiver has no queue, and a byte that nobody fetched would be overwritten.
        if (waiting.length > 0 && !usart.rxBusy && !received(cpu) && usart.rxEnable) {
          usart.writeByte(waiting.shift() as number);
        }
        for (let count = 0; count < 64; count += 1) {
          avrInstruction(cpu);
          cpu.tick();
        }
      }
    },
  };
}

/** Words of flash from a file in the Intel hexadecimal format. */
export function flashOf(hex: string): Uint16Array {
  const bytes = new Uint8Array(32_768).fill(0xff);
  for (const line of hex.split(/\r?\n/)) {
    if (!line.startsWith(":") || line.slice(7, 9) !== "00") continue;
    const length = Number.parseInt(line.slice(1, 3), 16);
    const address = Number.parseInt(line.slice(3, 7), 16);
    for (let index = 0; index < length; index += 1) {
      bytes[address + index] = Number.parseInt(line.slice(9 + 2 * index, 11 + 2 * index), 16);
    }
  }
  return new Uint16Array(bytes.buffer);
}

const RECEIVE_COMPLETE = 0x80;
const received = (cpu: CPU): boolean => ((cpu.data[usart0Config.UCSRA] as number) & RECEIVE_COMPLETE) !== 0;

function openUsart(cpu: CPU): AVRUSART {
  const usart = new AVRUSART(cpu, usart0Config, CLOCK_HZ);
  const { UDRE, RXC } = usart as unknown as {
    readonly [Name in "UDRE" | "RXC"]: Parameters<CPU["setInterruptFlag"]>[0];
  };
  // On the chip this interrupt repeats while the data register is empty; the firmware counts on it.
  UDRE.constant = true;
  // On the chip, switching the transmit interrupt does not throw away a byte that has arrived.
  const write = cpu.writeHooks[usart0Config.UCSRB] as (value: number, old: number, addr: number, mask: number) => void;
  cpu.writeHooks[usart0Config.UCSRB] = (value, old, address, mask) => {
    const pending = received(cpu);
    write(value, old, address, mask);
    if (pending) cpu.setInterruptFlag(RXC);
    return true;
  };
  return usart;
}

const PORTS = [
  { config: portDConfig, firstPin: 0, pins: 8 },
  { config: portBConfig, firstPin: 8, pins: 6 },
  { config: portCConfig, firstPin: 14, pins: 6 },
];

const LEVELS: Record<PinState, PinLevel> = {
  [PinState.Low]: "low",
  [PinState.High]: "high",
  [PinState.Input]: "input",
  [PinState.InputPullUp]: "pull-up",
};

function wirePins(cpu: CPU, closedAtBoot: ReadonlySet<number>, onPin: (pin: number, level: PinLevel) => void) {
  const closed = new Set(closedAtBoot);
  const levels: (PinLevel | null)[] = Array(PINS).fill(null);
  const ports = PORTS.map(({ config, firstPin, pins }) => ({ port: new AVRIOPort(cpu, config), firstPin, pins }));
  const settle = ({ port, firstPin, pins }: (typeof ports)[number]) => {
    for (let index = 0; index < pins; index += 1) {
      const pin = firstPin + index;
      const level = LEVELS[port.pinState(index)];
      // An open pin without pull-up floats; reading low shows at once that the pull-up was forgotten.
      if (level === "input" || level === "pull-up") port.setPin(index, level === "pull-up" && !closed.has(pin));
      if (level === levels[pin]) continue;
      levels[pin] = level;
      onPin(pin, level);
    }
  };
  for (const wired of ports) {
    for (const register of [wired.port.portConfig.DDR, wired.port.portConfig.PORT, wired.port.portConfig.PIN]) {
      const write = cpu.writeHooks[register] as (value: number, old: number, addr: number, mask: number) => boolean;
      cpu.writeHooks[register] = (value, old, address, mask) => {
        write(value, old, address, mask);
        settle(wired);
        return true;
      };
    }
    settle(wired);
  }
  return {
    contact(pin: number, isClosed: boolean) {
      if (isClosed) closed.add(pin);
      else closed.delete(pin);
      for (const wired of ports) if (pin >= wired.firstPin && pin < wired.firstPin + wired.pins) settle(wired);
    },
    level: (pin: number): PinLevel => levels[pin] as PinLevel,
  };
}
