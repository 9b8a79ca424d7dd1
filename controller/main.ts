import { randomUUID } from "node:crypto";
import { fileURLToPath } from "node:url";
import type { Field, ScanRecord } from "../shared/contract/index.ts";
import { rehearsalSettings, type Settings, settingsJsonSchema } from "../shared/settings/index.ts";
import { ALARM_WORDS } from "./alarms/index.ts";
import { createDoor, type Door } from "./cli/at-tank/door.ts";
import { onPort } from "./cli/ports.ts";
import { createProgram, type RunOptions } from "./cli/program.ts";
import { openTerminal, type Terminal } from "./cli/terminal.ts";
import { typed } from "./cli/typed.ts";
import { settingsWith } from "./decisions/calibration/effective.ts";
import { CALIBRATION } from "./decisions/calibration/key.ts";
import { askedBy, FRESH_BUTTON, followButton } from "./inputs/index.ts";
import { openServiceWatchdog, type ServiceWatchdog } from "./outputs/service-watchdog.ts";
import {
  type Broker,
  createIntake,
  createPublisher,
  openBroker,
  type Publisher,
  type RequestIntake,
} from "./publish/index.ts";
import type { OpenRecord } from "./record/index.ts";
import { type Cycle, startCycle } from "./scan/cycle.ts";
import { keptIn, type Memory, toStore } from "./scan/memory.ts";
import { type Served, startServe, tankAnswer } from "./serve/index.ts";
import { loadSettings } from "./settings/load.ts";
import { createTeller } from "./teller.ts";
import { openWater, type Water } from "./water.ts";

/** The composition root: the only place that builds real parts and joins the rooms. */
export const main = async (words: readonly string[]): Promise<void> => {
  const program = await createProgram(words, run);
  await program.parseAsync([...words], { from: "user" });
};

const USUAL_PORT = 8350;
const USUAL_MQTT_PORT = 18_830;
/** A controller that cannot end in good order ends anyway: outputs fall off by themselves. */
const ENDING_MOST_MS = 5_000;
const DASHBOARD = fileURLToPath(new URL("../dashboard/dist/", import.meta.url));

/** `evenbrine run`: opens everything, then lets the scan go on until somebody ends it. */
async function run(options: RunOptions): Promise<void> {
  const settings = options.settingsFile === null ? rehearsalSettings() : await loadSettings(options.settingsFile);
  const box = await openBox(settings, options);
  const ending = () => {
    setTimeout(() => process.exit(1), ENDING_MOST_MS).unref();
    void closeBox(box).then(() => process.exit(0));
  };
  process.once("SIGINT", ending);
  process.once("SIGTERM", ending);
}

/** Everything that runs, in the order in which it was opened. */
interface Box {
  readonly water: Water;
  readonly record: OpenRecord;
  readonly broker: Broker;
  readonly publisher: Publisher;
  readonly served: Served;
  readonly cycle: Cycle;
  readonly terminal: Terminal;
  readonly door: Door;
  readonly watchdog: ServiceWatchdog;
}

async function openBox(settings: Settings, options: RunOptions): Promise<Box> {
  const water = await openWater(settings, options);
  const { record, field } = water;
  const { id, name } = settings.tank;
  const broker = await onPort(options.mqttPort, USUAL_MQTT_PORT, (port) => openBroker({ port, tank: id }));
  const door = createDoor({ folder: water.folder, tank: id, offer: (request) => void intake.offer(request) });
  const client = door.overheard(broker.client);
  const intake = createIntake(client, id);
  const publisher = createPublisher(client, { tank: id, name, alarms: ALARM_WORDS });
  let memoryNow: Cycle["memory"] = () => water.cycle.memory;
  const teller = createTeller({ settings, water, publisher, intake, say: console.log });
  const served = await onPort(options.port, USUAL_PORT, (port) =>
    startServe({
      port,
      tank: () => tankAnswer(asCalibrated(settings, memoryNow()), water.kind, options.speed),
      history: record.history,
      handleMqttSocket: broker.accept,
      settingsSchema: settingsJsonSchema(),
      dashboardFolder: DASHBOARD,
      health: teller.health,
      probes: () => ({ version: 1, connections: field.describe(), inputs: field.sayInputs?.() ?? [] }),
    }),
  );
  console.log(`Evenbrine at http://127.0.0.1:${served.port}/ (MQTT on 127.0.0.1:${broker.port}); Ctrl-C ends it.`);
  const watchdog = openServiceWatchdog();
  const button = tankButton(field, intake);
  const cycle: Cycle = startCycle({
    ...water.cycle,
    settings,
    field,
    durable: record.memory,
    takeRequests: intake.take,
    onRecord: (seen, isLast) => {
      teller.tell(seen, cycle.counts(), isLast);
      button(seen);
      if (isLast) watchdog.healthyScan(performance.now());
    },
    onStopped: (why) => teller.stopped(why, cycle.counts()),
  });
  memoryNow = () => cycle.memory();
  const terminal = openTerminal(process.stdin, (request) => void intake.offer(request), console.log);
  const address = `http://127.0.0.1:${served.port}/`;
  const trouble = await door.open({ version: 1, tank: id, name, water: water.kind, speed: options.speed, address });
  for (const line of nextWords(water.kind, options.data)) console.log(line);
  if (trouble !== null) console.log(`Commands such as \`${typed("prove")}\` cannot reach this controller: ${trouble}`);
  return { water, record, broker, publisher, served, cycle, terminal, door, watchdog };
}

const asCalibrated = (settings: Settings, memory: Memory): Settings =>
  settingsWith(settings, keptIn(memory, CALIBRATION).durable.values);

/** Where a keeper goes from here. */
const nextWords = (kind: Water["kind"], data: string): readonly string[] =>
  kind === "rehearsal"
    ? [`When you have parts of your own: ${typed("init settings.json")} asks about your box and says what comes next.`]
    : [
        `At the tank, in a second terminal: ${typed("prove", { data })} leads along ` +
          "the parts; what was never seen to work stays off.",
      ];

/** Looks at the button after every scan; what a press asks for waits for the next one, as everything that is asked. */
function tankButton({ button }: Field, intake: RequestIntake): (seen: ScanRecord) => void {
  let memory = FRESH_BUTTON;
  return (seen) => {
    const reading = button?.(performance.now()) ?? null;
    if (reading === null) return;
    const followed = followButton(memory, reading, seen.elapsedMs);
    memory = followed.memory;
    if (followed.press === null) return;
    for (const request of askedBy(followed.press, seen, randomUUID)) intake.offer(request);
  };
}

/** Outputs off first; then what was decided reaches the disk; then the world is told. */
async function closeBox({
  water,
  record,
  broker,
  publisher,
  served,
  cycle,
  terminal,
  door,
  watchdog,
}: Box): Promise<void> {
  cycle.stop();
  watchdog.ending();
  await water.field.close();
  terminal.close();
  await door.close();
  const memory = toStore(cycle.memory());
  const sequence = memory.sequence + 1;
  record.memory.write({ ...memory, sequence }, sequence);
  publisher.goodbye();
  await Promise.all([served.close(), record.close()]);
  await broker.close();
  console.log("Ended: every output is off and the memory is on disk.");
}
