import { type ChildProcess, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import mqtt, { type MqttClient } from "mqtt";
import type { PublishedOutcome } from "../../../controller/publish/index.ts";
import { until } from "./until.ts";

const LAUNCHER = new URL("../../../controller/cli/launch.mjs", import.meta.url).pathname;

/** The whole program as a keeper runs it, in a process of its own, watched from outside over MQTT and HTTP. */
export interface Program {
  readonly address: string;
  readonly mqttPort: number;
  readonly pid: number;
  /** Everything that it has printed. */
  readonly lines: readonly string[];
  /** When it first said such a line, on the clock of this process; null = never. */
  said(text: RegExp): number | null;
  /** What is on a topic of the tank now; null = nothing. */
  topic(path: string): string | null;
  untilTopic(path: string, text: string | RegExp, withinMs?: number): Promise<void>;
  untilLine(text: string | RegExp, withinMs?: number): Promise<void>;
  /** Types a line into its terminal. */
  type(line: string): void;
  /** Sends a request over MQTT and waits for its outcome. */
  ask(kind: string, body: object): Promise<PublishedOutcome>;
  /** Waits for the outcome of a request that came another way; the newest, where there are several. */
  outcome(id: string): Promise<PublishedOutcome>;
  /** The newest outcome of every request. */
  readonly outcomes: ReadonlyMap<string, PublishedOutcome>;
  /** Sends whatever to whatever topic, as a foreign client would. */
  publish(topic: string, payload: string, retain: boolean): Promise<void>;
  /** Ends it by a signal and waits; the exit code, null when the signal ended it. */
  end(signal: "SIGINT" | "SIGTERM" | "SIGKILL"): Promise<number | null>;
}

export async function startProgram(tank: string, ...words: readonly string[]): Promise<Program> {
  const child = spawn(
    process.execPath,
    ["--max-semi-space-size=1", LAUNCHER, "run", ...words, "--port", "0", "--mqtt-port", "0"],
    {
      stdio: ["pipe", "pipe", "pipe"],
    },
  );
  const [lines, atMs]: [string[], number[]] = [[], []];
  for (const stream of [child.stdout, child.stderr])
    createInterface({ input: stream }).on("line", (line) => {
      lines.push(line);
      atMs.push(performance.now());
    });
  const found = () => lines.map((line) => line.match(/(http:\S+\/) \(MQTT on 127\.0\.0\.1:(\d+)\)/)).find(Boolean);
  await until(
    `the address of the program, in ${lines.join("\n")}`,
    () => found() !== undefined || child.exitCode !== null,
    90_000,
  ).catch((error) => {
    child.kill("SIGKILL");
    throw error;
  });
  const [, address, port] = found() ?? [];
  if (address === undefined) throw new Error(`it ended: ${lines.join("\n")}`);
  const said = (text: RegExp) => atMs[lines.findIndex((line) => text.test(line))] ?? null;
  return { ...(await watched(child, lines, address, Number(port), tank)), said };
}

async function watched(
  child: ChildProcess,
  lines: string[],
  address: string,
  mqttPort: number,
  tank: string,
): Promise<Omit<Program, "said">> {
  // The broker goes and comes with the front, and the program goes on.
  const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${mqttPort}`, { protocolVersion: 4, reconnectPeriod: 250 });
  const topics = new Map<string, string>();
  const outcomes = new Map<string, PublishedOutcome>();
  listen(client, tank, topics, outcomes);
  await client.subscribeAsync(`homie/5/${tank}/#`);
  let asked = 0;
  const outcome = async (id: string) => {
    await until(`an outcome of ${id}`, () => outcomes.has(id));
    return outcomes.get(id) as PublishedOutcome;
  };
  const topic = (path: string) => topics.get(path) ?? null;
  const fits = (text: string, wanted: string | RegExp) =>
    typeof wanted === "string" ? text === wanted : wanted.test(text);
  return {
    address,
    mqttPort,
    pid: child.pid as number,
    lines,
    topic,
    untilTopic: (path, wanted, withinMs) =>
      until(`${path} is ${wanted}, not ${topic(path)}`, () => fits(topic(path) ?? "", wanted), withinMs),
    untilLine: (wanted, withinMs) =>
      until(`the terminal says ${wanted}`, () => lines.some((line) => fits(line, wanted)), withinMs),
    type: (line) => void child.stdin?.write(`${line}\n`),
    async ask(kind, body) {
      asked += 1;
      const id = `test-${asked}`;
      await client.publishAsync(`homie/5/${tank}/request/${kind}/set`, JSON.stringify({ id, ...body }));
      return outcome(id);
    },
    outcome,
    outcomes,
    publish: async (path, payload, retain) => {
      await client.publishAsync(path, payload, { retain });
    },
    async end(signal) {
      await client.endAsync(true);
      if (child.exitCode !== null || child.signalCode !== null) return child.exitCode;
      const ended = new Promise<number | null>((resolve) => child.once("exit", (code) => resolve(code)));
      child.kill(signal);
      return ended;
    },
  };
}

function listen(
  client: MqttClient,
  tank: string,
  topics: Map<string, string>,
  outcomes: Map<string, PublishedOutcome>,
): void {
  client.on("error", () => undefined);
  const live = new Set<string>();
  client.on("close", () => live.clear());
  client.on("message", (path, payload, { retain }) => {
    const name = path.slice(`homie/5/${tank}/`.length);
    // On a busy machine the broker's kept word may come after the live one, and is older.
    if (retain && live.has(name)) return;
    if (!retain) live.add(name);
    const text = payload.toString();
    if (name === "request/outcome") {
      const outcome = JSON.parse(text) as PublishedOutcome;
      outcomes.set(outcome.id, outcome);
    } else if (text === "") topics.delete(name);
    else topics.set(name, text);
  });
}
