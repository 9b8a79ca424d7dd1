import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { HealthAnswer } from "../../shared/contract/index.ts";
import { settingsJsonSchema } from "../../shared/settings/index.ts";
import { settingsWith } from "../decisions/calibration/effective.ts";
import { NO_VALUES } from "../decisions/calibration/memory.ts";
import {
  type Broker,
  createIntake,
  createPublisher,
  type Intake,
  openBroker,
  type Publisher,
} from "../publish/index.ts";
import { type History, openHistory } from "../record/index.ts";
import { type Served, startServe, tankAnswer } from "../serve/index.ts";
import type { FromFront, Opening, Report, ToFront } from "./messages.ts";
import { onPort } from "./ports.ts";

const DASHBOARD = fileURLToPath(new URL("../../dashboard/dist/", import.meta.url));
const NO_PAGE =
  "There is no page yet: type `npm run build` in the folder of the program, and start again when it suits the tank.";
const ALIVE_EVERY_MS = 1_000;
const CLOSE_MOST_MS = 2_000;

/** The process that serves people: broker, page, history. It knows of the tank what it is told, and decides nothing. */
export function serve(): void {
  leaveSignalsToTheScan();
  offerOneself();
  const say = (message: FromFront) => void process.send?.(message, undefined, undefined, () => undefined);
  const fail = (error: unknown) => {
    say({ say: "failing", why: error instanceof Error ? error.message : String(error) });
    // What is on its way out would be lost by an exit at once.
    setTimeout(() => process.exit(1), 100);
  };
  process.on("uncaughtException", fail);
  process.on("unhandledRejection", fail);
  let box: Promise<Box> | null = null;
  const leave = () => {
    setTimeout(() => process.exit(1), CLOSE_MOST_MS).unref();
    void (async () => {
      if (box !== null) await closeBox(await box);
      process.exit(0);
    })();
  };
  // The scan's process is gone, however it ended: nobody is left to serve for.
  process.once("disconnect", leave);
  process.on("message", (message: ToFront) => {
    if (message.say === "open") box = openBox(message.opening, say);
    else if (message.say === "close") leave();
    else void box?.then((opened) => take(opened, message, say)).catch(fail);
  });
}

interface Box {
  readonly history: History;
  readonly broker: Broker;
  readonly publisher: Publisher;
  readonly intake: Intake;
  readonly served: Served;
  readonly alive: NodeJS.Timeout;
  report: Report | null;
}

async function openBox(opening: Opening, say: (message: FromFront) => void): Promise<Box> {
  const { settings, water, speed, folder, alarms, ports } = opening;
  const { id, name } = settings.tank;
  const history = openHistory(folder, { onKept: (upTo) => say({ say: "kept", upTo }) });
  const broker = await onPort({ ...ports.mqtt, usual: 18_830 }, (port) => openBroker({ port, tank: id }));
  const publisher = createPublisher(broker.client, { tank: id, name, alarms });
  const intake = createIntake(broker.client, id, (kind, payload) => say({ say: "request", kind, payload }));
  const box: { report: Report | null } = { report: null };
  const served = await onPort({ ...ports.web, usual: 8_350 }, (port) =>
    startServe({
      port,
      tank: () => tankAnswer(settingsWith(settings, box.report?.calibration ?? NO_VALUES), water, speed, alarms),
      history,
      handleMqttSocket: broker.accept,
      settingsSchema: settingsJsonSchema(),
      dashboardFolder: DASHBOARD,
      health: () => healthOf(box.report),
      probes: () => ({
        version: 1,
        connections: box.report?.context.connections ?? [],
        inputs: box.report?.inputs ?? [],
      }),
    }),
  );
  const newer = history.newer();
  if (newer !== null) say({ say: "notice", words: newer });
  if (!existsSync(join(DASHBOARD, "index.html"))) say({ say: "notice", words: NO_PAGE });
  say({ say: "listening", web: served.port, mqtt: broker.port });
  const live = () => say({ say: "alive", residentBytes: process.memoryUsage.rss(), historyFailed: history.failed() });
  live();
  return Object.assign(box, { history, broker, publisher, intake, served, alive: setInterval(live, ALIVE_EVERY_MS) });
}

const healthOf = (report: Report | null): HealthAnswer => ({
  version: 1,
  healthy: report?.healthy ?? false,
  sentence: report?.context.sentence ?? "Starting.",
  scans: report?.context.scans.count ?? 0,
});

type Told = Exclude<ToFront, { readonly say: "open" | "close" }>;

function take(box: Box, message: Told, say: (message: FromFront) => void): void {
  const { publisher, history, intake } = box;
  switch (message.say) {
    case "report": {
      box.report = message.report;
      const { record, context, paceMs } = message.report;
      publisher.update(record, context, paceMs);
      break;
    }
    case "notes":
      history.take(message.notes);
      break;
    case "answers":
      intake.answer(message.answers);
  }
  say({ say: "took", lane: message.say });
}

async function closeBox({ publisher, served, history, broker, alive }: Box): Promise<void> {
  clearInterval(alive);
  publisher.goodbye();
  await Promise.all([served.close(), history.close()]);
  await broker.close();
}

/** Where the machine runs out of memory, it is this process that goes, whatever its parent was spared (proc(5)). */
function offerOneself(): void {
  try {
    writeFileSync("/proc/self/oom_score_adj", "500");
  } catch {
    // A machine that does not ask: then it chooses by size.
  }
}

/** Keys at the terminal reach every process there; whoever looks after the tank ends this one, in its order. */
function leaveSignalsToTheScan(): void {
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP", "SIGQUIT", "SIGTSTP", "SIGTTIN", "SIGTTOU"] as const) {
    process.on(signal, () => undefined);
  }
}
