import { Command, InvalidArgumentError } from "commander";
import { CAUTIONS } from "../../shared/contract/index.ts";
import { refusing } from "./refusing.ts";

export interface RunOptions {
  /** Null = the rehearsal tank with its own settings. */
  readonly settingsFile: string | null;
  readonly data: string;
  /** Null = the usual port, or any free one when that is taken. */
  readonly port: number | null;
  readonly mqttPort: number | null;
  readonly speed: number;
  readonly seed: number;
}

/** Commands that load only when they are asked for: what runs for years on a small board carries none of them. */
const OTHERS: Readonly<Record<string, readonly [description: string, load: () => Promise<Command>]>> = {
  check: [
    "check a settings file and say what to mend; exit code 1 when it cannot be used",
    async () => (await import("./check.ts")).checkCommand(),
  ],
  probes: [
    "list boards, probes and what each says: of a running controller, of a settings file, or of all ports",
    async () => (await import("./probes.ts")).probesCommand(),
  ],
  rehearse: [
    "run a scenario on the simulated tank, faster than the clock",
    async () => (await import("./rehearse.ts")).rehearseCommand(),
  ],
  init: [
    "answer a short questionnaire and get a settings file, each choice explained",
    async () => (await import("./init/index.ts")).initCommand(),
  ],
  wiring: [
    "a wiring sheet of a settings file: every terminal, contact and safe state, and the budget of the box",
    async () => (await import("./wiring/index.ts")).wiringCommand(),
  ],
  status: [
    "how the running controller's box is doing: one sentence and one table",
    async () => (await import("./status/index.ts")).statusCommand(),
  ],
  prove: [
    "walk along the parts at the tank until each was seen to work",
    async () => (await import("./walk/commands.ts")).proveCommand(),
  ],
  calibrate: [
    "correct a reading at the tank: conductivity by standards, thermometers, marks of the floats",
    async () => (await import("./walk/commands.ts")).calibrateCommand(),
  ],
  hold: [
    "hands in the tank: stop pouring and heating for a while",
    async () => (await import("./at-tank/commands.ts")).holdCommand(),
  ],
  absence: [
    "you go away: what runs out or falls due meanwhile and what to do now; reminders rest until you are back",
    async () => (await import("./absence/index.ts")).absenceCommand(),
  ],
  "sitter-sheet": [
    "one page to print for whoever looks after the box while you are away",
    async () => (await import("./sitter-sheet/index.ts")).sitterSheetCommand(),
  ],
  clear: [
    "clear a lock of the running controller after you have looked",
    async () => (await import("./at-tank/commands.ts")).clearCommand(),
  ],
  ask: [
    "ask the running controller for what can be typed into its own terminal",
    async () => (await import("./at-tank/commands.ts")).askCommand(),
  ],
  service: [
    "have the controller start with this computer, and again after every fall; or undo that",
    async () => (await import("./service/index.ts")).serviceCommand(),
  ],
  bench: [
    "sums of the bench: salinity, density, salt to mix, dosing and more",
    async () => (await import("./bench/index.ts")).benchCommand(),
  ],
};

/** Every command. What builds real parts is handed in by the composition root. */
export async function createProgram(
  words: readonly string[],
  run: (options: RunOptions) => Promise<void>,
): Promise<Command> {
  const program = new Command("evenbrine")
    .description("Keeps a box of sea water right: same level, same salinity, same temperature.")
    .addHelpText("after", `\nPlease read:\n${CAUTIONS.map((caution) => `  - ${caution}`).join("\n")}`)
    .showHelpAfterError("(evenbrine --help shows every command)")
    .addCommand(runCommand(run));
  for (const [name, [description, load]] of Object.entries(OTHERS)) {
    // `evenbrine help bench` wants the whole command too.
    const asked = words.slice(0, 2).includes(name);
    program.addCommand(asked ? await load() : new Command(name).description(description));
  }
  return program;
}

const runCommand = (run: (options: RunOptions) => Promise<void>): Command =>
  new Command("run")
    .description("run the controller: on the parts that a settings file names, or else on the rehearsal tank")
    .argument("[settings]", "settings file (JSON); without one the tank is simulated")
    .option("--data <folder>", "where memory and history are kept", ".evenbrine")
    .option("--port <number>", "port of the dashboard, 0 = any free one", portNumber)
    .option("--mqtt-port <number>", "port of the MQTT broker, 0 = any free one", portNumber)
    .option("--speed <factor>", "rehearsal only: how much faster than the clock, 1 to 600", speedFactor, 1)
    .option("--seed <number>", "rehearsal only: the seed of room, noise and chance", wholeNumber, 1)
    .action((settings: string | undefined, options) =>
      refusing(() =>
        run({
          settingsFile: settings ?? null,
          data: options.data,
          port: options.port ?? null,
          mqttPort: options.mqttPort ?? null,
          speed: options.speed,
          seed: options.seed,
        }),
      ),
    );

function wholeNumber(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError("A whole number is expected.");
  return Number(text);
}

function portNumber(text: string): number {
  const port = wholeNumber(text);
  if (port > 65_535) throw new InvalidArgumentError("A port from 0 to 65535 is expected.");
  return port;
}

function speedFactor(text: string): number {
  const speed = wholeNumber(text);
  if (speed < 1 || speed > 600) throw new InvalidArgumentError("A whole number from 1 to 600 is expected.");
  return speed;
}
