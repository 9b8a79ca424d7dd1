import {
  AVRADC,
  AVRClock,
  AVRIOPort,
  AVRTimer,
  AVRUSART,
  AVRWatchdog,
  adcConfig,
  avrInstruction,
  CPU,
  clockConfig,
  PinState,
  portBConfig,
  portCConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  usart0Config,
  watchdogConfig,
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
  /** Volts on an analog pin; above 2.5 V it reads high as a digital one. */
  volts(pin: number, volts: number): void;
  level(pin: number): PinLevel;
  /** The reset pin: registers as at power-on, memory as it was. */
  reset(): void;
  /** From now on no instruction is executed, and timers, line and watchdog run on, until the next reset. */
  hang(): void;
  /** As `hang`, and the watchdog is dead too. */
  freeze(): void;
  /** How often the watchdog has reset it. */
  readonly bites: number;
}

export const CLOCK_HZ = 16_000_000;
export const PINS = 20;
const FIRST_ANALOG_PIN = 14;
const FIRST_MEMORY = 0x100;
/** Bits of MCUSR: what the last reset came from. */
const CAUSE = { powerOn: 0x01, resetPin: 0x02, watchdog: 0x08 } as const;

/** What is outside of the chip and outlasts its resets. */
interface Bench {
  readonly words: Uint16Array;
  readonly closed: Set<number>;
  readonly volts: number[];
  readonly onByte: (byte: number) => void;
  readonly onPin: (pin: number, level: PinLevel) => void;
}

/** An ATmega328P as it stands on an Uno, with the program `words` in its flash, just powered. */
export function bootChip(
  words: Uint16Array,
  closedAtStart: ReadonlySet<number>,
  onByte: (byte: number) => void,
  onPin: (pin: number, level: PinLevel) => void,
): Chip {
  const bench: Bench = { words, closed: new Set(closedAtStart), volts: Array(PINS).fill(0), onByte, onPin };
  let life = begin(bench, CAUSE.powerOn, null);
  let bites = 0;
  const again = (cause: number) => {
    life = begin(bench, cause, life.memory());
  };
  const waiting: number[] = [];
  return {
    receive: (bytes) => void waiting.push(...bytes),
    contact(pin, isClosed) {
      if (isClosed) bench.closed.add(pin);
      else bench.closed.delete(pin);
      life.settle(pin);
    },
    volts(pin, volts) {
      bench.volts[pin] = volts;
      life.settle(pin);
    },
    level: (pin) => life.level(pin),
    reset: () => again(CAUSE.resetPin),
    hang: () => life.stopWorking(),
    freeze() {
      life.stopWorking();
      life.stopWatching();
    },
    get bites() {
      return bites;
    },
    run(cycles) {
      let left = cycles;
      while (left > 0) {
        left -= life.run(left, waiting);
        if (!life.bitten) continue;
        bites += 1;
        again(CAUSE.watchdog);
      }
    },
  };
}

/** From one reset to the next: the emulator's own reset would leave its registers as they were. */
function begin(bench: Bench, cause: number, memory: Uint8Array | null) {
  const cpu = new CPU(bench.words, 2048);
  // Memory means nothing when power comes; no firmware may count on zeros.
  if (memory === null) cpu.data.fill(0xa7, FIRST_MEMORY);
  else cpu.data.set(memory, FIRST_MEMORY);
  cpu.data[watchdogConfig.MCUSR] = cause;
  for (const config of [timer0Config, timer1Config, timer2Config]) new AVRTimer(cpu, config);
  const watchdog = new AVRWatchdog(cpu, watchdogConfig, new AVRClock(cpu, CLOCK_HZ, clockConfig));
  const { channelValues } = new AVRADC(cpu, adcConfig);
  const takeVolts = () => {
    for (let pin = FIRST_ANALOG_PIN; pin < PINS; pin += 1)
      channelValues[pin - FIRST_ANALOG_PIN] = bench.volts[pin] as number;
  };
  takeVolts();
  const usart = openUsart(cpu);
  usart.onByteTransmit = bench.onByte;
  const pins = wirePins(cpu, bench);
  let works = true;
  let bitten = false;
  cpu.reset = () => {
    bitten = true;
  };
  return {
    level: pins.level,
    /** Something outside has changed on that pin. */
    settle(pin: number) {
      takeVolts();
      pins.settle(pin);
    },
    get bitten() {
      return bitten;
    },
    memory: () => cpu.data.slice(FIRST_MEMORY),
    stopWorking() {
      works = false;
    },
    stopWatching() {
      cpu.clearClockEvent(watchdog.checkWatchdog);
    },
    /** Runs for so long, or until the watchdog bites; answers how long it ran. */
    run(cycles: number, waiting: number[]): number {
      const began = cpu.cycles;
      while (cpu.cycles - began < cycles && !bitten) {
        // One byte at a time: this receiver has no queue, and a byte that nobody fetched would be overwritten.
        if (waiting.length > 0 && !usart.rxBusy && !received(cpu) && usart.rxEnable) {
          usart.writeByte(waiting.shift() as number);
        }
        for (let count = 0; count < 64; count += 1) {
          if (works) avrInstruction(cpu);
          else cpu.cycles += 1;
          cpu.tick();
        }
      }
      return cpu.cycles - began;
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

function wirePins(cpu: CPU, { closed, volts, onPin }: Bench) {
  const levels: (PinLevel | null)[] = Array(PINS).fill(null);
  const ports = PORTS.map(({ config, firstPin, pins }) => ({ port: new AVRIOPort(cpu, config), firstPin, pins }));
  const settle = ({ port, firstPin, pins }: (typeof ports)[number]) => {
    for (let index = 0; index < pins; index += 1) {
      const pin = firstPin + index;
      const level = LEVELS[port.pinState(index)];
      // An open pin without pull-up floats; reading low shows at once that the pull-up was forgotten.
      const high = level === "pull-up" || (volts[pin] as number) > 2.5;
      if (level === "input" || level === "pull-up") port.setPin(index, high && !closed.has(pin));
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
    settle(pin: number) {
      for (const wired of ports) if (pin >= wired.firstPin && pin < wired.firstPin + wired.pins) settle(wired);
    },
    level: (pin: number): PinLevel => levels[pin] as PinLevel,
  };
}
