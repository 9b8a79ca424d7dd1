import { Command } from "commander";
import { HTTP_PATHS, type ProbesAnswer } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { openBoards } from "../boards/index.ts";
import { listPorts } from "../boards/port-list.ts";
import { inputSentences, readButton, readInputs, readSensed } from "../inputs/index.ts";
import { loadSettings } from "../settings/load.ts";
import { parseWholeNumber } from "./flags.ts";
import { type Found, lookAtBus, lookAtPort } from "./probe-look.ts";
import { refusing } from "./refusing.ts";

interface ProbesOptions {
  readonly port: number;
  readonly seconds: number;
  readonly tty?: readonly string[];
  readonly oneWire: string;
}

/** `evenbrine probes`: what hangs on this computer and what it says, live, and how it would stand in the settings. */
export const probesCommand = (): Command =>
  new Command("probes")
    .description("list boards, probes and what each says: of a running controller, of a settings file, or of all ports")
    .argument("[settings]", "settings file (JSON): listen to what it names, outputs at rest")
    .option("--port <number>", "port of the controller that may be running", parseWholeNumber(1, 65_535), 8350)
    .option("--seconds <number>", "how long to listen, 1 to 600", parseWholeNumber(1, 600), 10)
    .option("--tty <path...>", "look at these serial ports only")
    .option("--one-wire <folder>", "where the kernel shows 1-Wire devices", "/sys/bus/w1/devices")
    .action((file: string | undefined, options: ProbesOptions) => refusing(() => probes(file, options)));

async function probes(file: string | undefined, options: ProbesOptions): Promise<void> {
  const forMs = options.seconds * 1000;
  // Whoever runs holds the ports, and knows what they say.
  const running = await askController(options.port);
  if (running !== null) {
    console.log(`The controller on port ${options.port} says:`);
    await sayFor(forMs, async () => (await askController(options.port)) ?? running);
  } else if (file !== undefined) await listenTo(await loadSettings(file), forMs);
  else await lookAround(options);
}

const ASK_MS = 2000;

/** Null = nobody answers there, or somebody who does not know of probes. */
async function askController(port: number): Promise<ProbesAnswer | null> {
  try {
    const url = `http://127.0.0.1:${port}${HTTP_PATHS.probes}`;
    const answer = await fetch(url, { signal: AbortSignal.timeout(ASK_MS) });
    const said = answer.ok ? ((await answer.json()) as ProbesAnswer) : null;
    return said?.version === 1 && Array.isArray(said.inputs) && Array.isArray(said.connections) ? said : null;
  } catch {
    return null;
  }
}

/** Opens what the settings name, outputs at rest, and tells what comes. */
async function listenTo(settings: Settings, forMs: number): Promise<void> {
  const nowMs = () => performance.now();
  const boards = await openBoards(settings, nowMs);
  const feeding = setInterval(() => {
    // A board with guard firmware is of use only while it is fed. Nothing is switched on here.
    for (const board of boards.pins.values()) board.feed();
  }, FEED_MS);
  try {
    await sayFor(forMs, async () => ({
      version: 1,
      connections: boards.describe(nowMs()),
      inputs: inputSentences(
        settings,
        readInputs(settings.inputs, boards, nowMs()),
        readSensed(settings.outputs, boards, nowMs()),
        readButton(settings.inputs, boards, nowMs()),
      ),
    }));
  } finally {
    clearInterval(feeding);
    await boards.close();
  }
}

const FEED_MS = 250;
const SAY_EVERY_MS = 500;

/** Every sentence once, and again when it says something else: ages alone are no news. */
async function sayFor(forMs: number, look: () => Promise<ProbesAnswer>): Promise<void> {
  const said = new Map<string, string>();
  const endMs = performance.now() + forMs;
  while (performance.now() < endMs) {
    const { connections, inputs } = await look();
    for (const sentence of [...connections, ...inputs]) {
      const [subject] = sentence.split(": ");
      const gist = sentence.replace(/, \d+ ms ago/, "");
      if (said.get(subject as string) === gist) continue;
      said.set(subject as string, gist);
      console.log(`  ${gist}`);
    }
    await new Promise((resolve) => setTimeout(resolve, SAY_EVERY_MS));
  }
}

/** Without settings: every port and bus, one after another. */
async function lookAround({ tty, oneWire }: ProbesOptions): Promise<void> {
  const ports = tty?.map((path) => ({ path, lastingPath: path, maker: null })) ?? (await listPorts());
  const found: Found[] = [];
  const tell = (what: Found) => {
    found.push(what);
    console.log(what.sentence);
  };
  for (const [index, port] of ports.entries()) tell(await lookAtPort(port, index));
  for (const thermometer of await lookAtBus(oneWire)) tell(thermometer);
  if (found.length === 0) {
    console.log("No serial port and no 1-Wire thermometer was found. Is anything plugged in?");
    return;
  }
  const boards = Object.assign({}, ...found.map((what) => what.boards));
  const inputs = Object.assign({}, ...found.map((what) => what.inputs));
  if (Object.keys(boards).length === 0) return;
  console.log("\nA beginning for the settings file:");
  console.log(JSON.stringify({ boards, inputs }, null, 2));
}
